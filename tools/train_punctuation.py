"""Fits the model of `pipeline/punctuation.py`. No part of the installed package.

    python tools/train_punctuation.py fit --into pipeline/data/punctuation.gz
    python tools/train_punctuation.py score FOLDER-OF-NARRATIONS...

Learns from the words of the narrations to develop on (`tools/narrations/{samples,dev,tuning}`); prose of speeches and
of the web was tried and made it worse. Needs scikit-learn.
"""

from __future__ import annotations

import argparse
import gzip
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path

import narration as narrations
import numpy as np

from pipeline.punctuation import MARKS, Look, features, predict
from pipeline.tokens import bare, ends_sentence

ROOT = Path(__file__).resolve().parent.parent
TUNED = [ROOT / "tools" / "narrations" / name for name in ("samples", "dev", "tuning")]
# Features seen less often, or with a weight of fewer hundredths, are left out.
_SEEN, _SMALL = 2, 4
Text = tuple[list[str], list[int]]


def marked(words: Sequence[str]) -> Text:
    """Bare words and the mark after each."""
    bares, marks = [], []
    for word in words:
        text = bare(word)
        mark = 2 if ends_sentence(word) else 1 if word.endswith((",", ";", ":", "–", "—", "-")) else 0
        if text:
            bares.append(text)
            marks.append(mark)
        elif marks:
            marks[-1] = max(marks[-1], 1)
    return bares, marks


def narration_texts(folders: Iterable[Path]) -> list[Text]:
    return [
        marked(narrations.read_narration(path).words) for folder in folders for path in sorted(folder.glob("*.txt"))
    ]


def rows(texts: Iterable[Text]) -> Iterable[tuple[list[str], int]]:
    """Each gap with the marks before it as they were written."""
    for words, marks in texts:
        look = Look.at(words)
        last_mark = last_stop = -1
        for at, mark in enumerate(marks[:-1]):
            yield list(features(look, at, at - last_mark, at - last_stop)), mark
            last_mark = at if mark else last_mark
            last_stop = at if mark == 2 else last_stop


def fit(folders: Sequence[Path], into: Path) -> None:
    from scipy.sparse import csr_matrix
    from sklearn.linear_model import LogisticRegression

    data = list(rows(narration_texts(folders)))
    counts = Counter(name for names, _ in data for name in names)
    index = {name: place for place, name in enumerate(sorted(n for n, count in counts.items() if count >= _SEEN))}
    columns = [[index[name] for name in names if name in index] for names, _ in data]
    starts = np.cumsum([0] + [len(column) for column in columns])
    table = csr_matrix((np.ones(starts[-1]), np.concatenate(columns), starts), shape=(len(data), len(index)))
    model = LogisticRegression(C=1.0, max_iter=200).fit(table, np.array([mark for _, mark in data]))
    logits = np.round((model.coef_[1:] - model.coef_[0]) * 100).astype(int)
    logits[:, index["bias"]] += np.round((model.intercept_[1:] - model.intercept_[0]) * 100).astype(int)
    lines = [
        f"{name}\t{logits[0, place]}\t{logits[1, place]}\n"
        for name, place in index.items()
        if np.abs(logits[:, place]).max() >= _SMALL
    ]
    into.write_bytes(gzip.compress("".join(lines).encode(), 9, mtime=0))
    print(f"{len(data)} gaps, {len(lines)} features, {into.stat().st_size} bytes")


def score(folders: Sequence[Path]) -> None:
    for folder in folders:
        right, found, gold = Counter[int](), Counter[int](), Counter[int]()
        for words, marks in narration_texts([folder]):
            for mark, guess in zip(marks[:-1], predict(words)[:-1], strict=True):
                gold[mark] += 1
                found[guess] += 1
                right[mark] += mark == guess
                right[3] += bool(mark and guess)
        rows_shown = [(MARKS[mark], right[mark], found[mark], gold[mark]) for mark in (1, 2)]
        rows_shown.append(("any", right[3], found[1] + found[2], gold[1] + gold[2]))
        for name, both, guessed, wanted in rows_shown:
            f1 = 2 * both / max(1, guessed + wanted)
            print(f"{folder.name} {name}: F1 {f1:.3f} ({both} right, {guessed} found, {wanted} gold)")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    commands = parser.add_subparsers(required=True, dest="command")
    fitting = commands.add_parser("fit")
    fitting.add_argument("folders", nargs="*", type=Path, default=TUNED)
    fitting.add_argument("--into", type=Path, required=True)
    scoring = commands.add_parser("score")
    scoring.add_argument("folders", nargs="+", type=Path)
    given = parser.parse_args()
    if given.command == "fit":
        fit(given.folders, given.into)
    else:
        score(given.folders)


if __name__ == "__main__":
    main()
