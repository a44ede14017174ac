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
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import speak as voices
from rapidfuzz.distance import Levenshtein

from pipeline.correct.language import english
from pipeline.correct.matcher import split_words
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
# Three pairs of voices are near relatives; none is in two sets.
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
# Buckets of ten by the term's name: 0 is held out for dev, 1 for test; 2 and 3 are mined and measured as well.
HELD_OUT = {"dev": 0, "test": 1}
MEASURED = {"dev": (0, 2), "test": (1, 3)}
WINDOW_S, GAP_S = 28.0, 0.6
MAX_GARBLES = 14
# Tenths of log10 of occurrences per thousand million words: ten in a million.
COMMON = 40


def bucket(name: str) -> int:
    return zlib.crc32(name.encode()) % 10


def bare(text: str) -> list[str]:
    """Lower-case words without punctuation, hyphens read as spaces: what hearings are compared in."""
    return list(split_words(text))


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


def heard_instead(text: str, form: str, heard: list[str]) -> tuple[int, int] | None:
    """Half-open range of the heard words that stand where the term was said; None where its neighbours were not heard.

    >>> heard_instead("Fit the gudgeon pin now.", "gudgeon pin", "fit the good gin pin now".split())
    (2, 5)
    """
    said, wanted = bare(text), bare(form)
    start = next(i for i in range(len(said)) if said[i : i + len(wanted)] == wanted)
    end = start + len(wanted)
    places: dict[int, int] = {}
    for op in Levenshtein.opcodes(said, heard):
        if op.tag == "equal":
            places |= dict(zip(range(op.src_start, op.src_end), range(op.dest_start, op.dest_end), strict=True))
    if start - 1 not in places or end not in places:
        return None
    return places[start - 1] + 1, places[end]


def read_heard(path: Path) -> Iterator[dict[str, Any]]:
    """Heard utterances with `words` (bare), `probabilities` and `span`, the place of the term in them, or None."""
    with gzip.open(path, "rt", encoding="utf-8") as file:
        for line in file:
            result = json.loads(line)
            pieces = [(word, probability) for text, probability in result["heard"] for word in bare(text)]
            result["words"] = [word for word, _ in pieces]
            result["probabilities"] = [probability for _, probability in pieces]
            result["span"] = heard_instead(result["text"], result["form"], result["words"])
            yield result


def tally(results: Iterable[dict[str, Any]], full: bool = False) -> dict[str, dict[str, Counter[str]]]:
    """Pack -> spelling -> what was heard instead -> how often.

    Left out: spellings no longer in the vocabulary; what differs from any term in spaces and hyphens only; what is
    much longer than the term; and a single common word that was heard once.
    """
    terms = load_vocabulary().terms
    spellings = {spelling for term in terms for spelling in term.spellings}
    taken = {"".join(bare(name)) for term in terms for name in (*term.spellings, term.plural)}
    counts: dict[str, dict[str, Counter[str]]] = defaultdict(lambda: defaultdict(Counter))
    for result in results:
        held_out = bucket(result["term"]) in HELD_OUT.values()
        if result["set"] != "mine" or result["span"] is None or (held_out and not full):
            continue
        start, end = result["span"]
        garble = result["words"][start:end]
        too_long = min(6, len(bare(result["form"])) + 3)
        if any("," in word for word in garble):  # a comma parts hearings in the files; only written numbers hold one
            continue
        if garble and len(garble) <= too_long and "".join(garble) not in taken and result["form"] in spellings:
            counts[result["pack"]][result["form"]][" ".join(garble)] += 1
    for forms in counts.values():
        for garbles in forms.values():
            for garble, count in list(garbles.items()):
                if count == 1 and " " not in garble and english().frequency(garble) >= COMMON:
                    del garbles[garble]
    return counts


def write_hearings(counts: dict[str, dict[str, Counter[str]]], into: Path) -> None:
    """One TOML file a pack, one line a spelling, both sorted."""
    into.mkdir(parents=True, exist_ok=True)
    voices_used = ", ".join(VOICES["mine"])
    for pack, forms in sorted(counts.items()):
        lines = [
            f'source = "Measured by tools/mine_hearings.py: default model; voices {voices_used}; clean, 20 and 10 dB."',
            "# What was heard instead of each spelling of a term, and how often, of once by each voice.",
            "",
            "[hearings]",
        ]
        for form in sorted(forms, key=str.lower):
            best = sorted(forms[form].items(), key=lambda item: (-item[1], item[0]))[:MAX_GARBLES]
            inside = ", ".join(f"{garble} {count}" for garble, count in sorted(best))
            if inside:
                lines.append(f"{json.dumps(form, ensure_ascii=False)} = {json.dumps(inside, ensure_ascii=False)}")
        (into / f"{pack}.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")


def write_sets(results: Iterable[dict[str, Any]], into: Path) -> None:
    """One file a set: the sentence spoken, the term, the words heard, and where the term is in both."""
    into.mkdir(parents=True, exist_ok=True)
    rows: dict[str, list[dict[str, Any]]] = {name: [] for name in MEASURED}
    for result in results:
        if result["set"] not in rows:
            continue
        span = result["span"]
        rows[result["set"]].append(
            {
                "term": result["term"],
                "form": result["form"],
                "pack": result["pack"],
                "held_out": bucket(result["term"]) in HELD_OUT.values(),
                "reference": result["text"],
                "words": [word for word, _ in result["heard"]],
                "probabilities": [probability for _, probability in result["heard"]],
                "heard_term": None if span is None else " ".join(result["words"][span[0] : span[1]]),
                "voice": result["voice"],
                "snr_db": result["snr_db"],
            }
        )
    for name, found in rows.items():
        found.sort(key=lambda row: (row["form"], row["voice"]))
        text = "".join(json.dumps(row, ensure_ascii=False) + "\n" for row in found)
        (into / f"heard_terms_{name}.jsonl.gz").write_bytes(gzip.compress(text.encode(), mtime=0))


def report(results: Iterable[dict[str, Any]]) -> None:
    """Prints the share of terms heard right, by set, voice and noise, with counts."""
    totals: dict[tuple[str, str, str], Counter[str]] = defaultdict(Counter)
    for result in results:
        key = (result["set"], result["voice"], str(result["snr_db"]))
        said = "".join(bare(result["form"]))
        span = result["span"]
        if span is None:
            totals[key]["unclear"] += 1
        else:
            totals[key]["right" if "".join(result["words"][span[0] : span[1]]) == said else "garbled"] += 1
    for key, count in sorted(totals.items()):
        print(*key, *(f"{name} {count[name]}" for name in ("right", "garbled", "unclear")), sep="  ")


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
            write_hearings(tally(results, args.full), args.into)
        else:
            write_sets(results, args.into)


if __name__ == "__main__":
    main()
