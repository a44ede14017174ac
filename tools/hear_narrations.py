"""Speaks and hears the narrations of a set, for the measurements. No part of the installed package.

    python tools/hear_narrations.py dev|test [--out FILE.jsonl.gz] [--model FOLDER] [--workers 2]
    python tools/hear_narrations.py dev|test --facts      takes over changed facts of narrations whose words stay

Every narration is spoken by each of the set's four voices, clean and with workshop noise at 20 and 10 dB, and heard
by the hearing stage as a user's recording would be. Each line of the result is {"gold": {...}, "heard": {...}}: what
was said (see samples/README.md) and {"recording", "words", "segment_starts"} as first heard. The sound is not kept;
what was heard before is taken from the cache of the hearing stage.
"""

from __future__ import annotations

import argparse
import dataclasses
import gzip
import json
import multiprocessing
import os
import tempfile
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import narration as narrations
import numpy as np
import speak as voices
from parallel import one_core

from pipeline.hearing import ModelPlace, SpeechModel, hear, resolve_model

ROOT = Path(__file__).resolve().parent.parent
# No voice is in both sets, and no voice of the test set was used to mine hearings.
VOICES = {
    "dev": ["espeak-rp", "flite-rms", "flite-slt", "piper-joe"],
    "test": ["espeak-scotland", "espeak-west-midlands", "festival-slt", "flite-awb"],
}
SNR_DB: list[float | None] = [None, 20.0, 10.0]
Job = tuple[Path, str, str | None]


def as_heard(
    sound: voices.Sound, file_name: str, place: ModelPlace, load: Callable[[ModelPlace, str], SpeechModel] = SpeechModel
) -> dict[str, Any]:
    """What the hearing stage makes of a sound as of a user's file; `load` makes the model, see `hear`."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, file_name)
        voices.write_wave(path, sound)
        transcript = hear(path, place, load=load).transcript
    return {
        "recording": dataclasses.asdict(transcript.recording),
        "words": [dataclasses.asdict(word) for word in transcript.words],
        "segment_starts": list(transcript.segment_starts),
    }


def hear_narration(job: Job) -> list[dict[str, Any]]:
    """One narration by one voice: spoken once, heard at every noise level."""
    source, voice, model = job
    narration = narrations.read_narration(source)
    seed = zlib.crc32(f"{narration.name} {voice}".encode())
    speech, starts = narrations.speak_narration(narration, voice, seed)
    noise = voices.workshop(len(speech) * 1000 // voices.RATE_HZ, np.random.default_rng(seed))
    rows = []
    for snr_db in SNR_DB:
        sound = speech if snr_db is None else voices.mix(speech, noise, snr_db)
        heard = as_heard(sound, f"{narration.name}.{voice}.{snr_db or 'clean'}.wav", resolve_model(model)[0])
        gold = narrations.gold(narration, starts, voice, snr_db)
        rows.append({"gold": gold, "heard": heard, "word_starts_ms": starts})
    return rows


def renew_facts(path: Path, folder: Path) -> None:
    """Writes the gold facts again from the narrations, for the sound heard before.

    Raises:
        SystemExit: the words of a narration were changed, so it must be heard again.
    """
    rows = [json.loads(line) for line in gzip.decompress(path.read_bytes()).splitlines()]
    for row in rows:
        old = row["gold"]
        narration = narrations.read_narration(folder / f"{old['name']}.txt")
        if " ".join(narration.words) != old["reference"]:
            raise SystemExit(f"the words of {old['name']} have changed: hear the set again")
        row["gold"] = narrations.gold(narration, row["word_starts_ms"], old["voice"], old["snr_db"])
    write_rows(path, rows)


def write_rows(path: Path, rows: list[dict[str, Any]]) -> None:
    text = "".join(json.dumps(row, ensure_ascii=False) + "\n" for row in rows)
    path.write_bytes(gzip.compress(text.encode(), mtime=0))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("set", choices=sorted(VOICES))
    parser.add_argument("--out", type=Path)
    parser.add_argument("--model", help="folder of the speech model; the shipped one if not given")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 2)
    parser.add_argument("--facts", action="store_true", help="renew the gold facts only")
    parser.add_argument("--only", default="", help="narrations whose name contains this")
    args = parser.parse_args()
    out = args.out or ROOT / "tests" / "samples" / f"narrations_{args.set}.jsonl.gz"
    folder = ROOT / "tools" / "narrations" / args.set
    if args.facts:
        renew_facts(out, folder)
        return
    sources = [path for path in sorted(folder.glob("*.txt")) if args.only in path.stem]
    jobs: list[Job] = [(source, voice, args.model) for source in sources for voice in VOICES[args.set]]
    context = multiprocessing.get_context("spawn")
    rows: list[dict[str, Any]] = []
    with context.Pool(args.workers, initializer=one_core) as pool:
        for (source, voice, _), heard in zip(jobs, pool.imap(hear_narration, jobs), strict=True):
            rows += heard
            print(f"{source.stem} by {voice}", flush=True)
    write_rows(out, rows)


if __name__ == "__main__":
    main()
