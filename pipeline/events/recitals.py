"""Orders that are recited: one that is put right ("no wait, cone, spacer, gear"), and one of things coming off."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.events.phrase import Scan, says
from pipeline.events.reading import SENTENCE

# With these the speaker drops the list that he has begun.
_STARTS_ANEW = (
    ("no", "wait"), ("wait", "no"), ("no", "hang", "on"), ("no", "hold", "on"), ("no", "sorry"), ("sorry", "no"),
    ("scratch", "that"), ("start", "again"), ("no", "not", "that"), ("hang", "on", "no"), ("actually", "no"),
)  # fmt: skip
_COMING_OFF = (
    ("coming", "off"), ("comes", "off"), ("came", "off"), ("come", "off"), ("coming", "apart"), ("came", "apart"),
    ("comes", "out"), ("came", "out"), ("coming", "out"),
)  # fmt: skip
_ORDER, _ORDER_BEFORE, _LONGEST = "order", 5, 45
_TELLERS = frozenset(("i", "we", "you", "look", "now"))


def starts_anew(scan: Scan, start: int, end: int) -> bool:
    """Whether between two units the speaker drops the list that he has begun."""
    return says(scan.text, _STARTS_ANEW, start, end)


def repeats(first: Sequence[str], second: Sequence[str]) -> bool:
    """Whether a list names again what another of parts had: two of them at the least."""
    return len(set(first) & set(second)) > 1


def coming_off(scan: Scan) -> frozenset[int]:
    """Units of "the order is coming off: locknut, then the washer, then the spacer": none of them went on."""
    found: set[int] = set()
    for at, end in _said(scan):
        found.update(range(at, end))
    return frozenset(found)


def _said(scan: Scan) -> Iterator[tuple[int, int]]:
    text = scan.text
    for at in range(len(text) - 1):
        if tuple(text[at : at + 2]) not in _COMING_OFF or _ORDER not in text[max(0, at - _ORDER_BEFORE) : at]:
            continue
        end = at + 2
        while end < len(text) and end - at < _LONGEST and text[end] not in _TELLERS:
            if scan.gap[end] >= SENTENCE and end > at + 3:
                break
            end += 1
        yield at, end
