"""Hears narrations to develop on by models that have not learned them. No part of the installed package.

    python tools/hear_left_out.py LEARNED.0.npz LEARNED.1.npz --into OUT.jsonl.gz [--first 400]

What is shipped has learned every narration in `tools/narrations/tuning`, and hears them better than new ones;
correction must be fitted to what is heard of new ones. The learners come from `adapt_train.py --folds`, each without
its share. Each narration is spoken once, by a voice and at a level of noise drawn for it, and heard by the hearing
stage with the learner that does not know it. Lines are as those of `hear_narrations.py`, without facts.
"""

from __future__ import annotations

import argparse
import random
import tempfile
import zlib
from functools import cache
from pathlib import Path
from typing import Any

import narration as narrations
import numpy as np
import speak as voices
from adapt_pack import pack
from adapt_texts import fold_of
from hear_narrations import as_heard, write_rows
from parallel import spread

from pipeline.hearing import ModelPlace, SpeechModel, default_model
from pipeline.hearing.adapted import adapt

TUNING = Path(__file__).resolve().parent / "narrations" / "tuning"
VOICES = (
    "espeak-caribbean", "espeak-gb", "espeak-gb-f", "espeak-lancaster", "espeak-rp", "espeak-us", "espeak-us-f",
    "flite-kal", "flite-rms", "flite-slt",
)  # fmt: skip
SNR_DB = (None, 20.0, 20.0, 10.0)
# What is shipped mixes two learners to this strength.
STRENGTH = 0.8
Job = tuple[Path, Path]


@cache
def _loaded(place: ModelPlace, language: str) -> SpeechModel:
    return SpeechModel(place, language)


def learner(learned: Path, plain: Path, into: Path) -> Path:
    """A folder with the model in `plain` and what one learner adds to it."""
    into.mkdir(parents=True, exist_ok=True)
    content = bytearray((plain / "model.bin").read_bytes())
    with np.load(learned) as arrays:
        adapt(content, pack([(dict(arrays), STRENGTH)]))
    (into / "model.bin").write_bytes(content)
    for path in plain.iterdir():
        if path.name != "model.bin":
            (into / path.name).write_bytes(path.read_bytes())
    return into


def hear_narration(job: Job) -> dict[str, Any]:
    """One narration, spoken and heard."""
    source, folder = job
    narration = narrations.read_narration(source)
    seed = zlib.crc32(f"left out {narration.name}".encode())
    chooser = random.Random(seed)
    voice, snr_db = chooser.choice(VOICES), chooser.choice(SNR_DB)
    sound, starts = narrations.speak_narration(narration, voice, seed)
    if snr_db is not None:
        noise = voices.workshop(len(sound) * 1000 // voices.RATE_HZ, np.random.default_rng(seed))
        sound = voices.mix(sound, noise, snr_db)
    gold = narrations.gold(narration, starts, voice, snr_db)
    return {
        "gold": {key: gold[key] for key in ("name", "voice", "snr_db", "reference", "terms")},
        "heard": as_heard(sound, f"{narration.name}.wav", ModelPlace(folder, folder.name, ""), _loaded),
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("learned", type=Path, nargs="+")
    parser.add_argument("--into", type=Path, required=True)
    parser.add_argument("--plain", type=Path, help="folder of the speech model as it came, if not the shipped one")
    parser.add_argument("--first", type=int, help="so many narrations, drawn")
    parser.add_argument("--workers", type=int)
    args = parser.parse_args()
    plain = args.plain or default_model(plain=True).folder
    sources = sorted(TUNING.glob("*.txt"))
    random.Random(175).shuffle(sources)
    with tempfile.TemporaryDirectory() as temporary:
        # the name must change with the learner only: what was heard is kept under it
        named = [f"{zlib.crc32(one.read_bytes()):08x}" for one in args.learned]
        folders = [learner(one, plain, Path(temporary, name)) for one, name in zip(args.learned, named, strict=True)]
        jobs = [(source, folders[fold_of(source.stem, len(folders))]) for source in sources[: args.first]]
        rows = spread(hear_narration, jobs, workers=args.workers)
    write_rows(args.into, sorted(rows, key=lambda row: str(row["gold"]["name"])))


if __name__ == "__main__":
    main()
