"""Parts that the speaker only asks about and denies himself: "New chain? No, the old one's going back on."."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import replace

from pipeline.events.deeds import PUT
from pipeline.events.phrase import Scan
from pipeline.events.reading import SENTENCE
from pipeline.records import Event, Status

_NO = frozenset(("no", "nope", "nah", "not", "never"))
_OLD = frozenset(("old", "original", "originals", "same", "existing"))
_OLD_WITHIN, _ANSWER_WITHIN = 5, 10
_STAYS = frozenset(("back", "reused", "refitted", "reusing", "refitting", "kept"))
_LATER = frozenset(("going", "will", "reusing", "refitting"))


def asked_first(event: Event, head: int, wordless: bool, scan: Scan, question_ends: Container[int]) -> int:
    """Where the answer to a part begins, whose last unit is `head`, that was put on by no word but its own: where "no"
    comes right behind, to a question or with the old one that goes on instead. 0 where nobody asked."""
    at = head + 1
    if not wordless or event.action not in PUT or at + 1 >= len(scan.text) or scan.text[at] not in _NO:
        return 0
    asked = at in question_ends or not _OLD.isdisjoint(scan.text[at + 1 : at + 1 + _OLD_WITHIN])
    return at + 1 if asked else 0


def answered(event: Event, at: int, scan: Scan) -> Event | None:
    """The event as the answer tells it, that begins at a unit: the old one is on, or goes on. None where it tells
    nothing of the kind: "New discs? No, I cleaned up the old ones"."""
    within = range(at + 1, min(len(scan.text), at + _ANSWER_WITHIN))
    end = next((spot for spot in within if scan.gap[spot] >= SENTENCE), within.stop)
    words = scan.text[at:end]
    old = _OLD.intersection(words)
    if not old or _STAYS.isdisjoint(words):
        return None
    status: Status = "done" if _LATER.isdisjoint(words) else "planned"
    condition = "original" if "original" in old or "originals" in old else "reused"
    return replace(event, action="fit", status=status, condition=condition, why=f"{event.why}; then answered")
