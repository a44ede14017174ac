"""What the reader network says of the things that a figure may belong to: evidence beside that of the words."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.quantities.owners import Span
from pipeline.quantities.things import Thing
from pipeline.reader.reading import FIGURE_OWNER, UNRELATED, Reading, behind, step


def read_evidence(reading: Reading | None, span: Span, rivals: Sequence[Thing]) -> tuple[list[str], list[list[str]]]:
    """(What speaks for a figure of nothing, what speaks for each thing), as names of evidence.

    A thing is read at its last word. Both are empty where the text was not read there.
    """
    if reading is None or not rivals:
        return [], [[] for _ in rivals]
    scores = [reading.pairs.score(FIGURE_OWNER, span.start, thing.end - 1) for thing in rivals]
    best = max(scores)
    if best == UNRELATED:
        return [], [[] for _ in rivals]
    own = [[f"read {step(score)}", f"read behind {behind(score, best)}"] for score in scores]
    return [f"nothing read better than {step(best)}"], own
