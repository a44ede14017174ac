"""Word error rate and time of hearing, beside the speech library's plain default call, in one run.

    python tools/measure_hearing.py [SAMPLE ...]
    python tools/measure_hearing.py --spoken dev|tuning [--first N]

Hears the samples, or narrations that are spoken afresh: two narrations a recording, voices and noise taking turns. All
hear the same sound with the same weights on the same number of cores: `default` is the library's plain call, `words`
the same with word timestamps, which a log needs, `ours` the hearing stage. Seconds are of processor time (all threads)
and of the clock. The interval is a paired bootstrap over recordings: where it holds zero, the difference may be chance.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import tempfile
import time
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path

import jiwer
import narration as narrations
import numpy as np
import speak as voices
from faster_whisper import WhisperModel
from hear_narrations import SNR_DB, VOICES

from pipeline.hearing import SpeechModel, hear, read_sound, resolve_model

ROOT = Path(__file__).resolve().parent.parent
MEDIA = (".ogg", ".mp4", ".m4a", ".wav", ".mp3")
TOGETHER = 2
DRAWS = 4_000


def plain(text: str) -> str:
    """Lower case, no punctuation: what a word error rate is about."""
    return " ".join(re.sub(r"[^a-z0-9' ]", " ", text.lower()).split())


def samples(names: list[str]) -> Iterator[tuple[str, Path, str]]:
    """Name, recording and what was said in it."""
    for folder in sorted(path.parent for path in (ROOT / "samples").glob("*/gold.json")):
        if not names or folder.name in names:
            said = json.loads((folder / "gold.json").read_text(encoding="utf-8"))["reference"]
            yield folder.name, next(path for path in folder.iterdir() if path.suffix in MEDIA), said


def spoken(folder: Path, first: int | None, work: Path) -> Iterator[tuple[str, Path, str]]:
    """The same, for narrations that are spoken now."""
    sources = sorted(folder.glob("*.txt"))
    turns = [voice for voice in VOICES["dev"] if voice != "piper-joe"]
    for number, at in enumerate(list(range(0, len(sources), TOGETHER))[:first]):
        texts = [narrations.read_narration(source) for source in sources[at : at + TOGETHER]]
        voice, snr_db = turns[number % len(turns)], SNR_DB[(number // len(turns) + number) % len(SNR_DB)]
        name = f"{'+'.join(text.name for text in texts)} {voice} {snr_db or 'clean'}"
        seed = zlib.crc32(name.encode())
        sound = np.concatenate([narrations.speak_narration(text, voice, seed)[0] for text in texts])
        if snr_db is not None:
            noise = voices.workshop(len(sound) * 1000 // voices.RATE_HZ, np.random.default_rng(seed))
            sound = voices.mix(sound, noise, snr_db)
        voices.write_wave(work / "spoken.wav", sound)
        yield name, work / "spoken.wav", " ".join(word for text in texts for word in text.words)


def timed(listen: Callable[[], str]) -> tuple[str, float, float]:
    """What was heard, seconds of processor time, seconds of the clock."""
    clock, processor = time.perf_counter(), time.process_time()
    text = listen()
    return text, time.process_time() - processor, time.perf_counter() - clock


def interval(ours: list[int], others: list[int], words: list[int]) -> tuple[float, float]:
    """95 % interval of the difference of two word error rates, recordings drawn anew."""
    rng = np.random.default_rng(0)
    drawn = rng.integers(0, len(words), (DRAWS, len(words)))
    differences = (np.array(ours) - np.array(others))[drawn].sum(1) / np.array(words)[drawn].sum(1)
    low, high = np.percentile(differences, [2.5, 97.5])
    return float(low), float(high)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("names", nargs="*", metavar="SAMPLE")
    parser.add_argument("--spoken", choices=["dev", "tuning"], help="hear these narrations instead")
    parser.add_argument("--first", type=int, metavar="N", help="only the first N recordings of them")
    args = parser.parse_args()
    place = resolve_model(None)[0]
    model = SpeechModel(place)
    library = WhisperModel(str(place.folder), compute_type="int8", cpu_threads=os.cpu_count() or 2)

    def by_library(media: Path, **options: bool) -> str:
        return " ".join(segment.text for segment in library.transcribe(str(media), **options)[0])

    def by_us(media: Path) -> str:
        with tempfile.TemporaryDirectory() as cache:
            os.environ["WITNESSMARK_CACHE"] = cache
            return " ".join(word.text for word in hear(media, place, load=lambda *_: model).transcript.words)

    hearers: dict[str, Callable[[Path], str]] = {
        "default": by_library,
        "words": lambda media: by_library(media, word_timestamps=True),
        "ours": by_us,
    }
    errors: dict[str, list[int]] = {who: [] for who in hearers}
    seconds = {who: np.zeros(2) for who in hearers}
    words: list[int] = []
    sound_ms = 0
    with tempfile.TemporaryDirectory() as work:
        folder = ROOT / "tools" / "narrations" / str(args.spoken)
        recordings = spoken(folder, args.first, Path(work)) if args.spoken else samples(args.names)
        for name, media, said in recordings:
            sound_ms += read_sound(media)[0].duration_ms
            reference = plain(said)
            words.append(len(reference.split()))
            print(name)
            for who, listen in hearers.items():
                text, *took = timed(lambda listen=listen, media=media: listen(media))  # type: ignore[misc]
                found = jiwer.process_words(reference, plain(text))
                errors[who].append(found.substitutions + found.deletions + found.insertions)
                seconds[who] += took
                print(
                    f"  {who:8} word error rate {found.wer:.4f} ({errors[who][-1]} of {words[-1]}), "
                    f"{took[0]:.1f} s of processor time, {took[1]:.1f} s",
                    flush=True,
                )
    for who in hearers:
        total, (processor_s, clock_s) = sum(errors[who]), seconds[who] * 60_000 / sound_ms
        print(
            f"{who:8} word error rate {total / sum(words):.4f} ({total} of {sum(words)}); a minute of sound takes "
            f"{processor_s:.2f} s of processor time, {clock_s:.2f} s"
        )
    for who in ("default", "words"):
        processor, clock = seconds[who] / seconds["ours"]
        difference = (sum(errors["ours"]) - sum(errors[who])) / sum(words)
        low, high = interval(errors["ours"], errors[who], words)
        print(
            f"ours is {processor:.2f} times as fast as {who} in processor time, {clock:.2f} times by the clock; its "
            f"word error rate is {difference:+.4f} away ({low:+.4f} to {high:+.4f})"
        )


if __name__ == "__main__":
    main()
