"""Spoken figures in -teen and -ty for the networks that tell them apart. No part of the installed package.

    python tools/teen_ty_clips.py FOLDER --set train [--part 0 --parts 16]     speak, encode and score one set

Voices and carrier sentences of the three sets are apart; the test voices are those that no other measurement trains on.
Needs the voices of `speak.py`, festvox-kdlpc16k of the operating system and, for the training set, the packages that
`teen_ty_voices.py` names.
"""

from __future__ import annotations

import argparse
import itertools
import random
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import speak as voices
from numpy.typing import NDArray
from parallel import one_core
from teen_ty_voices import PACKAGES, in_a_room, other_throat

from pipeline.hearing import SpeechModel, default_model
from pipeline.hearing.speech_model import STATE_MS, EncodedSound, ForcedWord
from pipeline.numbers import read_number
from pipeline.numbers.speak import speak_number

PAIRS = [(speak_number(10 + digit), speak_number(10 * digit)) for digit in range(3, 10)]
# States kept of a clip: from so many before the contested word on.
LEAD, KEPT = 10, 44
# Steps to which states are rounded along a basis, to a standard deviation.
QUANTUM = 8

# voice -> share of the training set, or clips of the other sets
TRAIN = {
    "espeak": 0.25,
    "flite-kal": 0.05,
    "flite-rms": 0.12,
    "festival-ked": 0.07,
    "piper-joe": 0.11,
    "hibari": 0.23,
    "kokoro": 0.17,
}
OTHERS: dict[str, dict[str, int]] = {
    "plain": {
        "espeak-caribbean": 168,
        "espeak-gb": 168,
        "espeak-gb-f": 168,
        "espeak-lancaster": 168,
        "espeak-us": 168,
        "espeak-us-f": 168,
        "flite-kal": 168,
        "flite-rms": 168,
        "piper-joe": 168,
    },
    "dev": {"espeak-rp": 140, "flite-slt": 140},
    "test": {"espeak-scotland": 126, "espeak-west-midlands": 126, "festival-slt": 98, "flite-awb": 126},
}
# Voices of the plain set that the training set has, too: they are left out together.
SAME = {
    "espeak-caribbean": "espeak en-029",
    "espeak-gb": "espeak en-gb",
    "espeak-gb-f": "espeak en-gb",
    "espeak-lancaster": "espeak en-gb-x-gbclan",
    "espeak-us": "espeak en-us",
    "espeak-us-f": "espeak en-us",
}
SAID = tomllib.loads(Path(__file__).with_suffix(".toml").read_text(encoding="utf-8"))
PREFIXES = ["", "", "", "", "a hundred and ", "one hundred and ", "two hundred and ", "three hundred and "]
SUFFIXES = ["", "", "", "", "", "", " point five", " to ninety five"]
SNR_DB: list[float | None] = [None, None, 20.0, 10.0]


@dataclass(frozen=True)
class Clip:
    """A spoken figure. `{n}` of the carrier stands for `prefix + word + suffix`.

    `voice` counts as one voice; `say` is what speaks it. `pitch`, `tract` (its length) and `speed` are factors.
    """

    voice: str
    say: str
    snr_db: float | None
    word: str
    rival: str
    prefix: str
    suffix: str
    carrier: str
    speed: float
    pitch: float = 1.0
    tract: float = 1.0

    def text(self, word: str) -> str:
        return self.carrier.replace("{n}", f"{self.prefix}{word}{self.suffix}", 1)

    def digits(self, word: str) -> str:
        """The same with the figure in digits."""
        spoken = f"{self.prefix}{word}{self.suffix}".split()
        number = read_number(spoken)
        assert number is not None
        figure = " ".join([f"{number.value:g}", *spoken[number.end :]])
        return self.carrier.replace("{n}", figure, 1)

    def place(self) -> int:
        """Index of the contested word in `text`."""
        return len((self.carrier[: self.carrier.index("{n}")] + self.prefix).split())


def clips(name: str, count: int) -> Iterator[Clip]:
    """The clips of a set, the same each time; `count` matters for the training set only."""
    rng = random.Random(f"{name} 90")
    words = [(w, r) for a, b in PAIRS for w, r in ((a, b), (b, a))]
    if name == "train":
        for word, rival in itertools.islice(itertools.cycle(words), count):
            voice = say = rng.choices(list(TRAIN), list(TRAIN.values()))[0]
            if voice == "espeak":
                accent, throat = rng.choice(SAID["espeak"]["accents"]), rng.choice(SAID["espeak"]["throats"])
                voice, say = f"espeak {accent}", f"espeak:{accent}+{throat}:{rng.choice((135, 150, 165, 185))}"
            prefix, suffix = _around(rng)
            carrier = f"{rng.choice(SAID['train']['openings'])} {{n}} {rng.choice(SAID['train']['tails'])}".strip()
            carrier += rng.choice(("", "", ".", ","))
            pitch = tract = 1.0
            if rng.random() < 0.75:
                pitch, tract = rng.uniform(0.72, 1.35), rng.uniform(0.87, 1.14)
            snr_db, speed = rng.choice([None, None, None, 25.0, 20.0, 15.0, 10.0, 7.0]), rng.uniform(0.85, 1.2)
            yield Clip(voice, say, snr_db, word, rival, prefix, suffix, carrier, speed, pitch, tract)
        return
    for voice, number in OTHERS[name].items():
        for word, rival in itertools.islice(itertools.cycle(words), number):
            prefix, suffix = _around(rng)
            speed, snr_db = rng.choice([0.93, 1.0, 1.07]), rng.choice(SNR_DB)
            carrier = rng.choice(SAID[name]["carriers"])
            yield Clip(voice, voice, snr_db, word, rival, prefix, suffix, carrier, speed)


def _around(rng: random.Random) -> tuple[str, str]:
    prefix = rng.choice(PREFIXES)
    return prefix, rng.choice(SUFFIXES) if not prefix else ""


# --- sound ----------------------------------------------------------------------------------------------------------


def sound_of(clip: Clip, noise: voices.Sound, rng: np.random.Generator) -> voices.Sound:
    if clip.say in PACKAGES:
        sound = PACKAGES[clip.say](clip.text(clip.word), rng)
    else:
        if clip.say.startswith("espeak:"):
            _, name, pace = clip.say.split(":")
            say = ("espeak-ng", "-v", name, "-s", pace, "--stdin", "-w", "{out}")
            voices.VOICES.setdefault(clip.say, voices._program(*say))
        voices.VOICES.setdefault(
            "festival-ked", voices._program("text2wave", "-eval", "(voice_ked_diphone)", "-o", "{out}")
        )
        sound = voices.speak(clip.say, clip.text(clip.word))
    if clip.pitch != 1.0:
        sound = other_throat(sound, clip.pitch, clip.tract)
    count = int(len(sound) / clip.speed)
    sound = np.interp(np.arange(count) * clip.speed, np.arange(len(sound)), sound).astype(np.float32)
    edges = [voices.silence(int(rng.integers(20, 400))) for _ in range(2)]
    sound = np.concatenate([edges[0], sound, edges[1]])
    if clip.pitch != 1.0 and rng.random() < 0.5:
        sound = in_a_room(sound, rng)
    if clip.snr_db is not None:
        at = int(rng.integers(0, len(noise) - len(sound)))
        sound = voices.mix(sound, noise[at : at + len(sound)], clip.snr_db)
    return sound


# --- what the model makes of it -------------------------------------------------------------------------------------


def region(encoded: EncodedSound, *words: ForcedWord) -> tuple[NDArray[np.float32], NDArray[np.int16]]:
    """States about the contested word, shape (KEPT, width), zero beyond the end, and where each of `words` is in them.

    The second is one row a word: first state and end.
    """
    first = max(0, min(word.start_ms for word in words) // STATE_MS - LEAD)
    kept = np.zeros((KEPT, encoded.states.shape[1]), np.float32)
    own = encoded.states[first : first + KEPT]
    kept[: len(own)] = own
    places = [(word.start_ms // STATE_MS - first, word.end_ms // STATE_MS - first) for word in words]
    return kept, np.array([*places, (0, len(own))], np.int16)


def measure(name: str, folder: Path, part: int, parts: int, count: int, voice: str, basis: Path | None) -> None:
    """Part `part` of `parts` of a set: one row a clip.

    Margins of truth over rival in digits and in words, and the states about the word; with a `basis`, shape
    (directions, width) and a mean, in steps of an eighth along its directions.
    """
    model = SpeechModel(default_model())
    rng = np.random.default_rng(175 + part)
    noise = voices.workshop(180_000, rng)
    rows: dict[str, list[Any]] = {key: [] for key in ("voice", "snr", "word", "digits", "words", "spans", "states")}
    chosen = (clip for clip in clips(name, count) if voice in clip.voice)
    own = [clip for place, clip in enumerate(chosen) if place // (2 * len(PAIRS)) % parts == part]
    random.Random(part).shuffle(own)
    target = folder / (f"{name}.npz" if parts == 1 else f"{name}_{voice}{part}.npz")
    folder.mkdir(parents=True, exist_ok=True)
    turned = None if basis is None else np.load(basis)
    for done, clip in enumerate(own, 1):
        encoded = model.encode_short(sound_of(clip, noise, rng))
        wordings = [clip.digits(clip.word), clip.digits(clip.rival), clip.text(clip.word), clip.text(clip.rival)]
        forced = model.force(encoded, wordings)
        totals = [sum(word.log_probability for word in words) for words in forced]
        states, spans = region(encoded, forced[2][clip.place()], forced[3][clip.place()])
        if turned is not None:
            steps = (states - turned["mean"]) @ turned["basis"].T * QUANTUM
            states = np.clip(np.rint(steps), -127, 127).astype(np.int8)
        rows["voice"].append(clip.voice)
        rows["snr"].append(99.0 if clip.snr_db is None else clip.snr_db)
        rows["word"].append(clip.word)
        rows["digits"].append(totals[0] - totals[1])
        rows["words"].append(totals[2] - totals[3])
        rows["spans"].append(spans)
        rows["states"].append(states if turned is not None else states.astype(np.float16))
        if done % 50 == 0 or done == len(own):
            print(f"{name}: {done} clips", flush=True)
            np.savez_compressed(target, **{key: np.array(value) for key, value in rows.items()})


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--set", choices=["train", *OTHERS], default="test")
    parser.add_argument("--count", type=int, default=12_000, help="clips of the training set")
    parser.add_argument("--voice", default="", help="only voices whose name contains this")
    parser.add_argument("--part", type=int, default=0)
    parser.add_argument("--parts", type=int, default=1)
    parser.add_argument("--basis", type=Path)
    args = parser.parse_args()
    if args.parts > 1:
        one_core(args.part)
    measure(args.set, args.folder, args.part, args.parts, args.count, args.voice, args.basis)


if __name__ == "__main__":
    main()
