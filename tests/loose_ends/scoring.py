"""Scores loose ends against their corpora: `python -m tests.loose_ends.scoring FILE`."""

from __future__ import annotations

import sys
import tomllib
from pathlib import Path

from pipeline.events import find_events
from pipeline.loose_ends import find_loose_ends
from pipeline.quantities import find_quantities
from pipeline.records import LooseEnd, Settings
from pipeline.tokens import line_words, written_tokens
from tests.events.scoring import bare_part, finder_vocabulary

CORPUS = Path(__file__).parents[1] / "corpus"


def loose_ends_of(said: str) -> list[LooseEnd]:
    tokens = written_tokens(line_words(said))
    vocabulary = finder_vocabulary()
    found = find_events(tokens, find_quantities(tokens, Settings()), vocabulary)
    return find_loose_ends(found.events, found.mentions, tokens, vocabulary)


def as_gold(end: LooseEnd) -> tuple[str, str, bool]:
    return end.kind, bare_part(end.part), bool(end.closed_by)


def score(path: Path, lines: list[str]) -> tuple[int, int, int]:
    """(right, missed, too much); what is wrong goes into `lines`."""
    right = missed = extra = 0
    for snippet in tomllib.loads(path.read_text(encoding="utf-8"))["snippets"]:
        wanted = []
        for line in snippet["gold"]:
            kind, part, *closed = (piece.strip() for piece in line.split("|"))
            wanted.append((kind, bare_part(part), bool(closed)))
        found = [as_gold(end) for end in loose_ends_of(snippet["said"])]
        hits = [gold for gold in wanted if gold in found]
        right, missed, extra = right + len(hits), missed + len(wanted) - len(hits), extra + len(found) - len(hits)
        if len(hits) != len(wanted) or len(found) != len(hits):
            lines.append(f"{snippet['said']}\n   wanted {wanted}\n   found  {found}")
    return right, missed, extra


def main(names: list[str]) -> None:
    for name in names:
        lines: list[str] = []
        right, missed, extra = score(Path(name), lines)
        if "heldout" not in name:
            print("\n".join(lines))
        print(
            f"{name}: recall {right / max(1, right + missed):.3f}, precision {right / max(1, right + extra):.3f}"
            f" ({right} right, {missed} missed, {extra} too much)"
        )


if __name__ == "__main__":
    main(sys.argv[1:])
