"""Word error rate and time of hearing on the samples, beside the speech library's plain default call, in one run.

    python tools/measure_hearing.py [SAMPLE ...]

Both hear the same sound with the same model, loaded once. Seconds are of processor time (all threads) and of the clock.
"""

from __future__ import annotations

import json
import os
import re
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import jiwer

from pipeline.hearing import SpeechModel, hear, read_sound, resolve_model

SAMPLES = Path(__file__).resolve().parent.parent / "samples"
MEDIA = (".ogg", ".mp4", ".m4a", ".wav", ".mp3")


def plain(text: str) -> str:
    """Lower case, no punctuation: what a word error rate is about."""
    return " ".join(re.sub(r"[^a-z0-9' ]", " ", text.lower()).split())


def timed(work: Callable[[], str]) -> tuple[str, float, float]:
    """What was heard, seconds of processor time, seconds of the clock."""
    clock, processor = time.perf_counter(), time.process_time()
    text = work()
    return text, time.process_time() - processor, time.perf_counter() - clock


def main() -> None:
    names = sys.argv[1:] or sorted(path.parent.name for path in SAMPLES.glob("*/gold.json"))
    place = resolve_model(None)[0]
    model = SpeechModel(place)
    library = model._model
    totals = {"default": [0.0, 0.0, 0.0], "ours": [0.0, 0.0, 0.0]}
    words = sound_ms = 0
    for name in names:
        reference = plain(json.loads((SAMPLES / name / "gold.json").read_text(encoding="utf-8"))["reference"])
        media = next(path for path in (SAMPLES / name).iterdir() if path.suffix in MEDIA)
        sound_ms += read_sound(media)[0].duration_ms
        words += len(reference.split())

        def by_default(media: Path = media) -> str:
            return " ".join(segment.text for segment in library.transcribe(str(media))[0])

        def by_us(media: Path = media) -> str:
            with tempfile.TemporaryDirectory() as cache:
                os.environ["WITNESSMARK_CACHE"] = cache
                return " ".join(word.text for word in hear(media, place, load=lambda *_: model).transcript.words)

        for who, work in (("default", by_default), ("ours", by_us)):
            text, processor_s, clock_s = timed(work)
            found = jiwer.process_words(reference, plain(text))
            errors = found.substitutions + found.deletions + found.insertions
            for at, value in enumerate((errors, processor_s, clock_s)):
                totals[who][at] += value
            took = f"{processor_s:.1f} s of processor time, {clock_s:.1f} s"
            print(f"{name:20} {who:8} word error rate {found.wer:.4f} ({errors}), {took}")
    for who, (errors, processor_s, clock_s) in totals.items():
        print(
            f"{who:8} word error rate {errors / words:.4f} ({errors:.0f} of {words}); a minute of sound takes "
            f"{processor_s * 60_000 / sound_ms:.2f} s of processor time, {clock_s * 60_000 / sound_ms:.2f} s"
        )
    print(
        f"ours is {totals['default'][1] / totals['ours'][1]:.2f} times as fast in processor time, "
        f"{totals['default'][2] / totals['ours'][2]:.2f} times by the clock"
    )


if __name__ == "__main__":
    main()
