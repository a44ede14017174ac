"""Speaks the rows of `adapt_texts.py` and cuts them into pieces as the hearing stage does. No part of the package.

    python tools/adapt_sound.py TEXTS.jsonl.gz --into FOLDER [--only hibari] [--workers 16]

Each row becomes one FOLDER/NUMBER.npz: `sound` (int16, 16 kHz, all pieces end to end), `ends` (samples at which pieces
end) and `said`, JSON: for every piece its words with the second in it at which each begins. Needs espeak-ng, flite and
the package hibari-tts.
"""

from __future__ import annotations

import argparse
import gzip
import json
import random
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import speak as voices
from parallel import spread

PIECE_S = 30
LONGEST_SENTENCE_S = 28


def _speak(row: dict[str, Any], text: str, rng: np.random.Generator) -> voices.Sound:
    if row["voice"] == "hibari":
        from teen_ty_voices import speak_hibari

        sound = speak_hibari(text, rng, british=bool(row["rate"] > 1.0))
    elif row["voice"] == "espeak":
        voice = voices.espeak(f"{row['accent']}+{row['throat']}", row["words_per_minute"], row["pitch"])
        sound = voice(voices.sayable(text))
    else:
        sound = voices.VOICES[row["voice"]](voices.sayable(text))
    # said faster and higher, or slower and lower
    return voices.trimmed(voices.resample(sound, round(voices.RATE_HZ * row["rate"])))


def pieces(row: dict[str, Any], seed: int) -> list[tuple[voices.Sound, list[tuple[str, float]]]]:
    """Pieces of at most 30 s with their words. A sentence that is cut off is heard whole in the next piece."""
    rng = np.random.default_rng(seed)
    chooser = random.Random(seed)
    spoken = [(sentence, _speak(row, sentence, rng)) for sentence in row["sentences"]]
    spoken = [(sentence, sound) for sentence, sound in spoken if 0 < len(sound) < LONGEST_SENTENCE_S * voices.RATE_HZ]
    made, at = [], 0
    while at < len(spoken):
        parts: list[voices.Sound] = [voices.silence(chooser.randint(0, 400))]
        words: list[tuple[str, float]] = []
        most = chooser.choice((PIECE_S, PIECE_S, PIECE_S, chooser.uniform(5, 29))) * voices.RATE_HZ
        cut = chooser.random() < 0.5
        while at < len(spoken):
            sentence, sound = spoken[at]
            start = sum(map(len, parts))
            if start + len(sound) > most and words and not cut:
                break
            lengths = np.cumsum([0] + [len(word) + 1 for word in sentence.split()])
            for word, share in zip(sentence.split(), lengths, strict=False):
                second = (start + len(sound) * share / lengths[-1]) / voices.RATE_HZ
                if second < PIECE_S - 0.2:
                    words.append((word, round(float(second), 2)))
            parts += [sound, voices.silence(chooser.randint(150, 700))]
            if start + len(sound) > most:
                at += start + len(sound) <= PIECE_S * voices.RATE_HZ  # else it is begun again in the next piece
                break
            at += 1
        whole = np.concatenate(parts)[: PIECE_S * voices.RATE_HZ]
        if row["snr_db"] is not None:
            noise = voices.workshop(len(whole) * 1000 // voices.RATE_HZ + 1, rng)
            whole = voices.mix(whole, noise[: len(whole)], float(row["snr_db"]))
        made.append((whole, words))
    return made


def _make(job: tuple[int, dict[str, Any], Path]) -> float:
    number, row, folder = job
    made = pieces(row, zlib.crc32(" ".join(row["sentences"]).encode()) + number)
    if not made:
        return 0.0
    sound = np.concatenate([piece for piece, _ in made])
    np.savez(
        folder / f"{number}.npz",
        sound=(np.clip(sound, -1, 1) * 32767).astype(np.int16),
        ends=np.cumsum([len(piece) for piece, _ in made]),
        said=json.dumps([words for _, words in made]),
        kind=row["kind"],
        name=row["name"],
    )
    return len(sound) / voices.RATE_HZ


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("texts", type=Path)
    parser.add_argument("--into", type=Path, required=True)
    parser.add_argument("--first", type=int, help="so many rows")
    parser.add_argument("--workers", type=int)
    args = parser.parse_args()
    args.into.mkdir(parents=True, exist_ok=True)
    rows = [json.loads(line) for line in gzip.decompress(args.texts.read_bytes()).splitlines()][: args.first]
    jobs = [(number, row, args.into) for number, row in enumerate(rows)]
    seconds = spread(_make, jobs, workers=args.workers)
    print(f"{sum(seconds) / 3600:.1f} hours of sound")


if __name__ == "__main__":
    main()
