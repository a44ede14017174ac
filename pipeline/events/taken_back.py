"""What the speaker takes back in the next breath: "I haven't fitted the clip. Actually, I have." """

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.events.phrase import Scan
from pipeline.events.reading import SENTENCE
from pipeline.records import Event, Status

_OPENERS = frozenset(
    ("no", "actually", "oh", "sorry", "wait", "well", "hang", "on", "a", "minute", "hold", "yes", "yeah", "lie", "tell",
     "oops", "but", "in", "fact")
)  # fmt: skip
_SPEAKERS = frozenset(("i", "we"))
_NOW: dict[str, Status] = {"have": "done", "did": "done", "am": "planned", "are": "planned", "will": "planned"}
_SOON = 10


def taken_back(events: Sequence[Event], spans: Sequence[tuple[int, int]], scan: Scan) -> list[Event]:
    """The events, with those that were denied and then owned up to in their true status."""
    return [
        replace(event, status=status, why=f"{event.why}; then taken back")
        if event.status == "negated" and (status := _owned_up(scan, span[1]))
        else event
        for event, span in zip(events, spans, strict=True)
    ]


def _owned_up(scan: Scan, end: int) -> Status | None:
    """What "actually, I have" makes of the sentence that ends at or soon behind a unit."""
    text, gap = scan.text, scan.gap
    start = next((at for at in range(end, min(len(text), end + _SOON)) if gap[at] >= SENTENCE), len(text))
    at = start
    while at < len(text) and text[at] in _OPENERS:
        at += 1
    closed = at + 2 >= len(text) or (at + 2 < len(text) and gap[at + 2] > 0)
    if at == start or at + 1 >= len(text) or text[at] not in _SPEAKERS or not closed:
        return None
    return _NOW.get(text[at + 1])
