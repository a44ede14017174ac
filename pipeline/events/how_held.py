"""What holds a thing and how it was cut, which is how it is made: "five bolts hold the leg on", "all straight cut"."""

from __future__ import annotations

from pipeline.events.clauses import sentence_around
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.rules import Rules

_HOLD = frozenset(("hold", "holds", "holding", "keep", "keeps", "keeping", "secure", "secures", "clamp", "clamps"))
_ON = frozenset(("on", "down", "in", "together", "up", "shut", "closed", "still"))
_LEADS = frozenset(("and", "then", "so", "there", "'s", "is", "are", "just", "only", "but", "because", "with"))
_CLOSES = frozenset(("and", "so", "but", "with", "at", "from", "on", "to", "all", "which", "one", "two"))
_MADE = frozenset(("all", "each", "both", "every", "them", "is", "are", "'s", "was", "were", "which", "being"))


def holding(scan: Scan) -> frozenset[int]:
    """Units of "five bolts hold the leg on", "there's three clips holding the hose on": so many there are."""
    return frozenset(
        unit for part in scan.phrases if _holds(part, scan) for unit in range(max(0, part.start - 2), part.end + 1)
    )


def _holds(part: Phrase, scan: Scan) -> bool:
    at, text = part.end, scan.text
    if not part.is_part or part.condition or at + 1 >= len(text) or text[at] not in _HOLD or any(scan.gap[at : at + 2]):
        return False
    if part.determiner in ("the", "this", "that", "my") or not _opens(part, scan):
        return False
    thing = scan.starting.get(at + 1)
    on = thing.end if thing is not None else at + 2
    if on >= len(text) or scan.gap[on] or text[on] not in _ON:
        return False
    behind = on + 1
    return behind >= len(text) or scan.gap[behind] > 0 or text[behind] in _CLOSES or scan.bare


def _opens(part: Phrase, scan: Scan) -> bool:
    """Whether the clause begins with the part, and nobody puts it there."""
    return part.start == 0 or scan.gap[part.start] > 0 or scan.text[part.start - 1] in _LEADS or scan.bare


def cut_so(scan: Scan, rules: Rules) -> frozenset[int]:
    """Units of "three gears in there, all straight cut", "they're both hollow bored": so they were made."""
    found: set[int] = set()
    for at in range(1, len(scan.text)):
        hit = rules.cues["cut_so"].at(scan.text, at)
        if hit is None or scan.text[at - 1] not in _MADE:
            continue
        closed = hit[0] >= len(scan.text) or scan.gap[hit[0]] > 0 or scan.text[hit[0]] in _CLOSES or scan.bare
        start, _ = sentence_around(scan, at)
        if closed:
            found.update(range(max(start, at - 1), hit[0]))
    return frozenset(found)
