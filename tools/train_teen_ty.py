"""Trains and tests the probe that tells -teen from -ty. No part of the installed package.

    python tools/train_teen_ty.py clips FOLDER --set train     speak, encode and score the clips of one set
    python tools/train_teen_ty.py fit FOLDER                   fit on train, report dev, write pipeline/data/teen_ty.npz
    python tools/train_teen_ty.py report FOLDER --set test     by voice and noise level, with counts

Voices and carrier sentences of the three sets are apart; the test voices are those that no other measurement trains on.
"""

from __future__ import annotations

import argparse
import itertools
import os
import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import speak as voices
from numpy.typing import NDArray

from pipeline.hearing import SpeechModel, default_model
from pipeline.numbers import read_number
from pipeline.second_hearing.calibration import shipped_calibration
from pipeline.second_hearing.teen_ty import shipped_probe, span_features

Floats = NDArray[np.float64]
OUT = Path(__file__).resolve().parent.parent / "pipeline" / "data" / "teen_ty.npz"
STEMS = {"thir": "thirteen thirty", "four": "fourteen forty", "fif": "fifteen fifty", "six": "sixteen sixty"}
STEMS |= {"seven": "seventeen seventy", "eigh": "eighteen eighty", "nine": "nineteen ninety"}
PAIRS = [tuple(pair.split()) for pair in STEMS.values()]
# voice -> clips; the slow ones get fewer
VOICES: dict[str, dict[str, int]] = {
    "train": {
        "espeak-caribbean": 280,
        "espeak-gb": 280,
        "espeak-gb-f": 280,
        "espeak-lancaster": 280,
        "espeak-us": 196,
        "espeak-us-f": 196,
        "flite-kal": 280,
        "flite-rms": 280,
        "piper-joe": 210,
    },
    # the same accents with other throats: voice files of the program, pitch left alone
    "more": {
        **{f"espeak:en-gb+{throat}": 150 for throat in ("f1", "f3", "f4", "m2", "m4", "m6", "m8")},
        **{f"espeak:en-us+{throat}": 150 for throat in ("f2", "f4", "m2", "m5", "m7")},
        **{f"espeak:en-029+{throat}": 100 for throat in ("f2", "m4", "m6")},
        **{f"espeak:en-gb-x-gbclan+{throat}": 100 for throat in ("f1", "m3", "m8")},
        "flite-kal": 500,
        "flite-rms": 500,
        "piper-joe": 400,
    },
    "dev": {"espeak-rp": 140, "flite-slt": 140},
    "test": {"espeak-scotland": 126, "espeak-west-midlands": 126, "festival-slt": 98, "flite-awb": 126},
}
CARRIERS: dict[str, list[str]] = {
    "train": [
        "torqued that to {n} newton metres",
        "I put in {n} millilitres of oil",
        "done up to {n} foot pounds, and that's it",
        "the front is {n} psi",
        "there's about {n} thou of play",
        "give it another {n} degrees then",
        "the jet in there is a {n} and it's clean",
        "it wants {n} millimetres from the end",
        "so that's {n}.",
        "{n} of them, all new",
        "and it goes to {n} newton metres with the small wrench",
        "it took {n} cc, near enough",
        "I've set it at {n} mil",
        "up to {n} and then a quarter turn",
        "the gap is {n} thou, cold",
        "it was {n} quid and {n} more for the seal",
    ],
    "dev": [
        "that one gets {n} newton metres",
        "it needs {n} mil of fork oil",
        "I measured {n} thou there",
        "tyres at {n} psi today",
        "then {n} degrees more.",
        "around {n} foot pounds on those",
    ],
    "test": [
        "I did those up at {n} newton metres",
        "we've got {n} millilitres in each leg",
        "the feeler gauge says {n} thou and no more",
        "pumped up to {n} psi at the back",
        "turned it {n} degrees with the bar",
        "the nut is at {n} foot pounds now",
        "it's {n} millimetres across",
        "call it {n}.",
    ],
}
PREFIXES = ["", "", "", "", "a hundred and ", "one hundred and ", "two hundred and ", "three hundred and "]
SUFFIXES = ["", "", "", "", "", "", " point five", " to ninety five"]
SPEEDS = {"train": [0.88, 0.95, 1.0, 1.05, 1.13], "heard": [0.93, 1.0, 1.07]}
SNR_DB = [None, None, 20.0, 10.0]


@dataclass(frozen=True)
class Clip:
    """A spoken figure. `{n}` of the carrier stands for `prefix + word + suffix`."""

    voice: str
    snr_db: float | None
    word: str
    rival: str
    prefix: str
    suffix: str
    carrier: str
    speed: float

    def text(self, word: str) -> str:
        return self.carrier.replace("{n}", f"{self.prefix}{word}{self.suffix}", 1).replace("{n}", "ten")

    def digits(self, word: str) -> str:
        """The same with the figure in digits."""
        spoken = f"{self.prefix}{word}{self.suffix}".split()
        number = read_number(spoken)
        assert number is not None
        figure = " ".join([f"{number.value:g}", *spoken[number.end :]])
        return self.carrier.replace("{n}", figure, 1).replace("{n}", "10")

    def place(self) -> int:
        """Index of the contested word in `text`."""
        before = self.carrier[: self.carrier.index("{n}")] + self.prefix
        return len(before.split())


def clips(name: str, seed: int = 90) -> Iterator[Clip]:
    rng = random.Random(f"{name} {seed}")
    carriers = CARRIERS.get(name, CARRIERS["train"])
    for voice, count in VOICES[name].items():
        words = itertools.cycle([(w, r) for a, b in PAIRS for w, r in ((a, b), (b, a))])
        for (word, rival), _ in zip(words, range(count), strict=False):
            prefix = rng.choice(PREFIXES)
            suffix = rng.choice(SUFFIXES) if not prefix else ""
            speed = (
                rng.choice([0.88, 0.95, 1.0, 1.05, 1.13])
                if name in ("train", "more")
                else rng.choice([0.93, 1.0, 1.07])
            )
            yield Clip(voice, rng.choice(SNR_DB), word, rival, prefix, suffix, rng.choice(carriers), speed)


def sound_of(clip: Clip, noise: voices.Sound, rng: np.random.Generator) -> voices.Sound:
    if clip.voice.startswith("espeak:"):
        say = ("espeak-ng", "-v", clip.voice.removeprefix("espeak:"), "-s", "155", "--stdin", "-w", "{out}")
        voices.VOICES.setdefault(clip.voice, voices._program(*say))
    sound = voices.speak(clip.voice, clip.text(clip.word))
    count = int(len(sound) / clip.speed)
    sound = np.interp(np.arange(count) * clip.speed, np.arange(len(sound)), sound).astype(np.float32)
    edges = [voices.silence(int(rng.integers(20, 400))) for _ in range(2)]
    sound = np.concatenate([edges[0], sound, edges[1]])
    if clip.snr_db is not None:
        at = int(rng.integers(0, len(noise) - len(sound)))
        sound = voices.mix(sound, noise[at : at + len(sound)], clip.snr_db)
    return sound


def measure(name: str, folder: Path, part: int, parts: int) -> None:
    """Part `part` of `parts` of a set.

    One row a clip: margins of truth over rival in digits and words, and the features by either wording's span.
    """
    model = SpeechModel(default_model())
    rng = np.random.default_rng(175)
    noise = voices.workshop(180_000, rng)
    rows: dict[str, list[Any]] = {key: [] for key in ("voice", "snr", "word", "digits", "words", "right", "wrong")}
    own = [clip for place, clip in enumerate(clips(name)) if place % parts == part]
    random.Random(part).shuffle(own)
    target = folder / (f"{name}.npz" if parts == 1 else f"{name}_{part}.npz")
    folder.mkdir(parents=True, exist_ok=True)
    for done, clip in enumerate(own, 1):
        encoded = model.encode_short(sound_of(clip, noise, rng))
        wordings = [clip.digits(clip.word), clip.digits(clip.rival), clip.text(clip.word), clip.text(clip.rival)]
        forced = model.force(encoded, wordings)
        totals = [sum(word.log_probability for word in words) for words in forced]
        right, wrong = forced[2][clip.place()], forced[3][clip.place()]
        rows["voice"].append(clip.voice)
        rows["snr"].append(99.0 if clip.snr_db is None else clip.snr_db)
        rows["word"].append(clip.word)
        rows["digits"].append(totals[0] - totals[1])
        rows["words"].append(totals[2] - totals[3])
        rows["right"].append(span_features(encoded, right.start_ms, right.end_ms).astype(np.float16))
        rows["wrong"].append(span_features(encoded, wrong.start_ms, wrong.end_ms).astype(np.float16))
        if done % 100 == 0 or done == len(own):
            print(f"{name}: {done} clips", flush=True)
            np.savez(target, **{key: np.array(value) for key, value in rows.items()})


# --- fitting --------------------------------------------------------------------------------------------------------


def logistic(x: Floats, y: Floats, penalty: float, steps: int = 400) -> Floats:
    """Weights of an L2-penalised logistic regression by accelerated gradient descent; the last is the bias."""
    x1 = np.concatenate([x, np.ones((len(x), 1))], axis=1).astype(np.float32)
    longest = np.random.default_rng(0).standard_normal(x1.shape[1]).astype(np.float32)
    for _ in range(20):  # the largest eigenvalue bounds how steep the loss can be
        longest = x1.T @ (x1 @ (longest / np.linalg.norm(longest)))
    rate = 1.0 / (0.25 * float(np.linalg.norm(longest)) + penalty)
    ridge = np.full(x1.shape[1], penalty, np.float32)
    ridge[-1] = 0.0
    beta = ahead = np.zeros(x1.shape[1], np.float32)
    for step in range(steps):
        chances = 1 / (1 + np.exp(-np.clip(x1 @ ahead, -30, 30)))
        fresh = ahead - rate * (x1.T @ (chances - y).astype(np.float32) + ridge * ahead)
        ahead = fresh + step / (step + 3) * (fresh - beta)
        beta = fresh
    return beta.astype(np.float64)


def load(folder: Path, name: str) -> dict[str, Any]:
    paths = [path for path in sorted(folder.glob(f"{name}*.npz")) if path.stem.partition("_")[0] == name]
    files = [np.load(path) for path in paths]
    rows = {key: np.concatenate([data[key] for data in files]) for key in files[0].files}
    rows["teen"] = np.array([word.endswith("teen") for word in rows["word"]])
    # what the recogniser would have written: the better of the two figures in digits
    rows["heard_right"] = rows["digits"] > 0
    rows["span"] = np.where(rows["heard_right"][:, None], rows["right"], rows["wrong"]).astype(np.float64)
    return rows


def fit_probe(rows: dict[str, Any], chosen: Any, penalty: float) -> tuple[Floats, Floats, Floats, float]:
    """(mean, scale, weights, bias) from the spans of both wordings of the chosen clips."""
    x = np.concatenate([rows["right"][chosen], rows["wrong"][chosen]]).astype(np.float64)
    y = np.concatenate([rows["teen"][chosen]] * 2).astype(float)
    mean, scale = x.mean(axis=0), x.std(axis=0) + 1e-3
    beta = logistic((x - mean) / scale, y, penalty)
    return mean, scale, beta[:-1], float(beta[-1])


def teen_nats(rows: dict[str, Any], probe: tuple[Floats, Floats, Floats, float]) -> Floats:
    mean, scale, weights, bias = probe
    return np.asarray((rows["span"] - mean) / scale @ weights + bias)


def heard_evidence(rows: dict[str, Any], nats: Floats) -> tuple[dict[str, Floats], Any]:
    """Evidence for the figure as heard (the better one in digits), as in the stage, and whether it is right."""
    sign = np.where(rows["heard_right"], 1.0, -1.0)
    heard_teen = rows["teen"] == rows["heard_right"]
    evidence = {
        "digits": np.abs(rows["digits"]),
        "words": rows["words"] * sign,
        "probe": np.where(heard_teen, nats, -nats),
        "teen": heard_teen.astype(float),
    }
    return evidence, rows["heard_right"]


def fit(folder: Path, penalty: float) -> None:
    """Fits on the training voices, writes the probe that ships and prints the weights of the evidence beside it.

    The weights are fitted on what probes say of voices that they were not trained on.
    """
    rows = load(folder, "train")
    nats = np.zeros(len(rows["teen"]))
    for voice in sorted(set(rows["voice"])):
        left_out = rows["voice"] == voice
        nats[left_out] = teen_nats({"span": rows["span"][left_out]}, fit_probe(rows, ~left_out, penalty))
        wrong = (nats[left_out] > 0) != rows["teen"][left_out]
        print(f"{voice:<22} {left_out.sum()} clips, probe without this voice wrong in {wrong.mean():.3f}", flush=True)
    evidence, right = heard_evidence(rows, nats)
    for kind, names in (("teen_ty", ("words", "probe")), ("teen_ty_plain", ("digits", "words"))):
        table = np.stack([evidence[name] for name in names], axis=1)
        weights = logistic(table, right.astype(float), 1.0, 2000)
        print(f"[{kind}]", *(f"{n} = {w:.3f}" for n, w in zip((*names, "bias"), weights, strict=True)), sep="\n")
    mean, scale, weights, bias = fit_probe(rows, slice(None), penalty)
    arrays = {"mean": mean, "scale": scale, "weights": weights}
    half = {key: value.astype(np.float16) for key, value in arrays.items()}
    np.savez_compressed(OUT, identity=np.array(default_model().identity), bias=np.array(bias), **half)
    print(f"probe of {len(nats)} clips: {OUT.stat().st_size} bytes")


def report(folder: Path, name: str) -> None:
    """What the shipped probe and weights make of a set, by voice and noise level, with counts."""
    rows, probe, calibration = load(folder, name), shipped_probe(), shipped_calibration()
    nats = np.asarray((rows["span"] - probe.mean) / probe.scale @ probe.weights + probe.bias)
    evidence, right = heard_evidence(rows, nats)
    doubt = np.array(
        [calibration.figure_doubt({n: float(v[i]) for n, v in evidence.items()}) for i in range(len(right))]
    )
    flagged = doubt >= calibration.doubtful_from
    groups = {"all": np.ones(len(right), bool)}
    groups |= {f"voice {voice}": rows["voice"] == voice for voice in sorted(set(rows["voice"]))}
    groups |= {f"noise {snr:g} dB" if snr < 99 else "clean": rows["snr"] == snr for snr in sorted(set(rows["snr"]))}
    print(f"{name}: clips | heard wrong, of these doubted | heard right, of these doubted | probe alone right")
    for key, own in groups.items():
        wrong, good = own & ~right, own & right
        sure = ((nats > 0) == rows["teen"])[own].mean()
        caught, false = flagged[wrong].sum(), flagged[good].sum()
        print(f"{key:<28} {own.sum():>5} | {wrong.sum():>4} {caught:>4} | {good.sum():>4} {false:>4} | {sure:.3f}")
    print("reliability: doubt, clips, heard wrong")
    edges = [0.0, 0.02, 0.05, 0.1, 0.2, 0.5, 0.8, 1.01]
    for low, high in itertools.pairwise(edges):
        own = (doubt >= low) & (doubt < high)
        if own.any():
            print(f"{low:.2f}-{min(high, 1):.2f}  {own.sum():>5}  {(~right[own]).mean():.3f}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("step", choices=["clips", "fit", "report"])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--set", choices=sorted(VOICES), default="test")
    parser.add_argument("--part", type=int, default=0)
    parser.add_argument("--parts", type=int, default=1)
    parser.add_argument("--penalty", type=float, default=1000.0)
    args = parser.parse_args()
    if args.step == "clips":
        if args.parts > 1:  # side by side; the speech model takes every core it finds
            os.cpu_count = lambda: 1
        measure(args.set, args.folder, args.part, args.parts)
    elif args.step == "fit":
        fit(args.folder, args.penalty)
    else:
        report(args.folder, args.set)


if __name__ == "__main__":
    main()
