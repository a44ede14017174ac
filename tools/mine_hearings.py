"""Measures what the recogniser hears instead of each term of the vocabulary. No part of the installed package.

    python tools/mine_hearings.py plan  utterances.jsonl          what to say, by which voice, in how much noise
    python tools/mine_hearings.py hear  utterances.jsonl heard.jsonl.gz --model FOLDER [--device cuda] [--workers 14]
    python tools/mine_hearings.py write heard.jsonl.gz --into vocab/hearings [--full]
    python tools/mine_hearings.py sets  heard.jsonl.gz --into tests/samples     heard_terms_dev and _test.jsonl.gz

Mining and measuring are kept apart: the sets `dev` and `test` have voices, carrier sentences and one tenth of the
terms each that are never mined (`--full` writes their hearings too, for a release after the measuring).
"""

from __future__ import annotations

import argparse
import gzip
import itertools
import json
import multiprocessing
import random
import time
import zlib
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import speak as voices
from heard_terms import MEASURED, bucket, read_heard, report, tally, write_hearings, write_sets

from pipeline.vocabulary import load_vocabulary

# Every carrier ends and begins in words that are heard reliably, so that they anchor the alignment.
CARRIERS: dict[str, list[str]] = {
    "mine": [
        "Then I looked at the {} before lunch.",
        "You can see the {} here on the bench.",
        "This is the {} that I talked about.",
        "He told me to put the {} back again.",
    ],
    "dev": [
        "Okay, so the next thing is the {} because it was in a bad way.",
        "I took my time over the {} and it came out well.",
    ],
    "test": [
        "Right, moving on, here we have the {} which I did last week.",
        "If I remember rightly the {} was left on the shelf.",
    ],
}
ACTION_CARRIERS: dict[str, list[str]] = {
    "mine": ["I did some {} before lunch.", "There was a lot of {} to do on this one."],
    "dev": ["It took a bit of {} but it came out well."],
    "test": ["After that I spent the morning on {} which was not much fun."],
}
# No voice is in two sets.
VOICES: dict[str, list[str]] = {
    "mine": [
        "espeak-caribbean",
        "espeak-gb",
        "espeak-gb-f",
        "espeak-lancaster",
        "espeak-us",
        "flite-kal",
        "flite-rms",
        "piper-joe",
    ],
    "dev": ["espeak-rp", "flite-slt"],
    "test": ["espeak-scotland", "espeak-west-midlands", "flite-awb"],
}
SNR_DB: list[float | None] = [None, 20.0, 10.0]
WINDOW_S, GAP_S = 28.0, 0.6


def plan(seed: int = 175) -> Iterator[dict[str, Any]]:
    """Every utterance: which term in which carrier by which voice in how much noise."""
    rng = random.Random(seed)
    forms: dict[str, Any] = {}
    for term in load_vocabulary().terms:
        for form in term.spellings:
            forms.setdefault(form, term)
    for set_name, set_voices in VOICES.items():
        for form, term in sorted(forms.items()):
            if set_name in MEASURED and bucket(term.name) not in MEASURED[set_name]:
                continue
            carriers = (ACTION_CARRIERS if term.kind == "action" else CARRIERS)[set_name]
            for voice in set_voices:
                yield {
                    "set": set_name,
                    "term": term.name,
                    "form": form,
                    "pack": term.pack,
                    "text": rng.choice(carriers).format(form),
                    "voice": voice,
                    "snr_db": rng.choice(SNR_DB),
                }


def jobs(utterances: Iterable[dict[str, Any]], per_job: int = 120, seed: int = 5) -> list[list[dict[str, Any]]]:
    """Shuffled bundles of one voice and noise level, for one worker at a time."""
    groups: dict[tuple[str, float | None], list[dict[str, Any]]] = defaultdict(list)
    for utterance in utterances:
        groups[utterance["voice"], utterance["snr_db"]].append(utterance)
    rng = random.Random(seed)
    bundles = []
    for group in groups.values():
        rng.shuffle(group)
        bundles += [group[at : at + per_job] for at in range(0, len(group), per_job)]
    rng.shuffle(bundles)
    return bundles


_model: Any = None


def _load_model(folder: str, device: str) -> None:
    global _model
    from faster_whisper import BatchedInferencePipeline, WhisperModel

    compute_type = "float16" if device == "cuda" else "int8"
    model = WhisperModel(folder, device=device, compute_type=compute_type, cpu_threads=1, local_files_only=True)
    _model = BatchedInferencePipeline(model)


def _windows(sounds: list[voices.Sound]) -> list[list[int]]:
    """Indexes of the sounds that share each window of 28 s."""
    windows: list[list[int]] = []
    room_s = 0.0
    for index, sound in enumerate(sounds):
        needed_s = len(sound) / voices.RATE_HZ + GAP_S
        if needed_s > room_s:
            windows.append([])
            room_s = WINDOW_S
        windows[-1].append(index)
        room_s -= needed_s
    return windows


def hear_bundle(bundle: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Speaks a bundle, packs it into windows with noise, and hands each utterance its words by their time."""
    rng = np.random.default_rng(zlib.crc32(json.dumps(bundle[0]).encode()))
    sounds = [voices.speak(utterance["voice"], utterance["text"]) for utterance in bundle]
    gap = voices.silence(int(GAP_S * 1000))
    pieces: list[voices.Sound] = []
    clips: list[dict[str, float]] = []
    spans: list[tuple[float, float]] = []
    at_s = 0.0
    for window in _windows(sounds):
        start_s = at_s
        for index in window:
            duration_s = len(sounds[index]) / voices.RATE_HZ
            spans.append((at_s - GAP_S / 2, at_s + duration_s + GAP_S / 2))
            pieces += [sounds[index], gap]
            at_s += duration_s + GAP_S
        clips.append({"start": start_s, "end": at_s})
    speech = np.concatenate(pieces)
    if bundle[0]["snr_db"] is not None:
        noise = voices.workshop(60_000, rng)
        speech = voices.mix(speech, noise, bundle[0]["snr_db"])
    segments, _ = _model.transcribe(
        speech, language="en", beam_size=1, word_timestamps=True, vad_filter=False, clip_timestamps=clips, batch_size=16
    )
    words = [word for segment in segments for word in segment.words or ()]
    results = []
    for utterance, (start_s, end_s) in zip(bundle, spans, strict=True):
        inside = [word for word in words if start_s <= (word.start + word.end) / 2 < end_s]
        heard = [[word.word.strip(), round(float(word.probability), 3)] for word in inside]
        results.append({**utterance, "heard": heard})
    return results


def hear(bundles: list[list[dict[str, Any]]], out: Path, model: str, device: str, workers: int, seconds: float) -> None:
    """Hears bundles in order until the time is up, and writes a line of JSON an utterance."""
    began = time.monotonic()
    context = multiprocessing.get_context("spawn")
    with (
        gzip.open(out, "wt", encoding="utf-8") as file,
        context.Pool(workers, initializer=_load_model, initargs=(model, device)) as pool,
    ):
        for done, results in enumerate(pool.imap(hear_bundle, bundles), 1):
            file.writelines(json.dumps(result, ensure_ascii=False) + "\n" for result in results)
            if done % 10 == 0 or done == len(bundles):
                print(f"{done} of {len(bundles)} bundles after {time.monotonic() - began:.0f} s", flush=True)
            if time.monotonic() - began > seconds:
                print(f"time is up: go on with --start {done}", flush=True)
                break


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("step", choices=["plan", "hear", "write", "sets", "report"])
    parser.add_argument("files", nargs="+", type=Path)
    parser.add_argument("--into", type=Path)
    parser.add_argument("--model", help="folder of the speech model")
    parser.add_argument("--device", default="cpu")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--start", type=int, default=0, help="first bundle to hear")
    parser.add_argument("--limit", type=int, help="bundle to stop before")
    parser.add_argument("--seconds", type=float, default=1e9, help="stop after so long")
    parser.add_argument("--full", action="store_true", help="keep the terms held out for measuring")
    args = parser.parse_args()
    first = args.files[0]
    if args.step == "plan":
        first.write_text("".join(json.dumps(row, ensure_ascii=False) + "\n" for row in plan()), encoding="utf-8")
    elif args.step == "hear":
        rows = map(json.loads, first.read_text(encoding="utf-8").splitlines())
        bundles = list(itertools.islice(jobs(rows), args.start, args.limit))
        hear(bundles, args.files[1], args.model, args.device, args.workers, args.seconds)
    else:
        results = itertools.chain.from_iterable(map(read_heard, args.files))
        if args.step == "report":
            report(results)
        elif args.step == "write":
            write_hearings(tally(results, args.full), VOICES["mine"], args.into)
        else:
            write_sets(results, args.into)


if __name__ == "__main__":
    main()
