"""Parts that are named and that nothing was done to: "there's no cup on this side", "hung up off the spring", "in the
tub with its bolts", "I've the old race here as a drift"; and what was so when it was found: "they had sealant on them".
"""

from __future__ import annotations

from collections.abc import Set

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.reading import SENTENCE

_BE_THERE = frozenset(("is", "'s", "are", "was", "were"))
# What hangs off a part, or is tied to it, takes nothing off it: so many words on stands the part.
_HANGS = frozenset(("hung", "hanging", "hangs", "dangling", "dangles", "suspended"))
_OFF_WITHIN = 16
# "as a drift": what a thing is used for that goes into no machine.
_USES = frozenset(
    ("drift", "puller", "press", "punch", "mandrel", "packer", "handle", "lever", "guide", "dolly", "weight", "prop",
     "template", "reamer", "scraper", "tool")
)  # fmt: skip
# "they'd sealant on them": who had it, what stands behind, and how far that is.
_HAD_IT, _HAD = frozenset(("they", "it", "these", "those", "that")), frozenset(("'d", "had"))
_ON_THEM, _ON_WITHIN = frozenset(("them", "it")), 8
_CLAUSES = frozenset(("and", "but", "so"))
_LAID = frozenset(("in", "on"))
_OWN = frozenset(("its", "their", "the", "all", "his", "her"))
# "the stem bolt I didn't touch": who did not, and what he would have done to it.
_SPEAKERS, _DO_NOT = frozenset(("i", "we")), frozenset(("do", "did", "have"))
_TOUCHED = frozenset(
    ("touch", "touched", "do", "done", "look", "looked", "start", "started", "open", "opened", "bother", "bothered")
)


def named_only(scan: Scan, places: Set[str]) -> frozenset[int]:
    """First units of parts that nothing is done to, whatever stands beside them; `places` are where things lie."""
    found = {
        part.start for part in scan.phrases if part.is_part and (_is_absent(scan, part) or _lies(scan, part, places))
    }
    return frozenset(found | _hung_from(scan) | _used_as(scan))


def _is_absent(scan: Scan, part: Phrase) -> bool:
    """ "there's no cup on this side"."""
    before = scan.text[max(0, part.start - 2) : part.start]
    return part.determiner == "no" and before[:1] == ["there"] and before[-1] in _BE_THERE


def _lies(scan: Scan, part: Phrase, places: Set[str]) -> bool:
    """ "the cover's in the tub with its bolts"."""
    at = part.start - 1
    while at > 3 and scan.text[at] in _OWN:
        at -= 1
    if at < 3 or scan.text[at] != "with" or scan.text[at - 1] not in places or any(scan.gap[at - 2 : part.start + 1]):
        return False
    return not _LAID.isdisjoint(scan.text[at - 3 : at - 1])


def _hung_from(scan: Scan) -> set[int]:
    """ "it's hung up there on a bit of wire, off the spring"."""
    found: set[int] = set()
    for at, word in enumerate(scan.text):
        if word not in _HANGS:
            continue
        for place in range(at + 1, min(len(scan.text) - 1, at + _OFF_WITHIN)):
            if scan.gap[place] >= SENTENCE or scan.text[place] in _CLAUSES:
                break
            part = scan.starting.get(place + 1)
            if scan.text[place] in ("off", "from") and part is not None and part.is_part:
                found.add(part.start)
                break
    return found


def _used_as(scan: Scan) -> set[int]:
    """ "I've the old outer here as a drift, and the vice, and a big bolt"."""
    found: set[int] = set()
    for at in range(len(scan.text) - 2):
        if scan.text[at] != "as" or scan.text[at + 1] not in ("a", "my", "the") or scan.text[at + 2] not in _USES:
            continue
        first = last = at
        while first and scan.gap[first] < SENTENCE and scan.text[first - 1] not in _CLAUSES:
            first -= 1
        last = _end_of_list(scan, at + 3)
        if any(place in scan.verbs and scan.text[place] not in ("have", "had", "got") for place in range(first, at)):
            first = at
        found.update(part.start for part in scan.phrases_in(first, last) if part.is_part)
    return found


def _end_of_list(scan: Scan, at: int) -> int:
    """Where the things end that are joined to what stands before a unit by "and" and commas."""
    while at < len(scan.text) and scan.gap[at] < SENTENCE:
        step = at + (scan.text[at] == "and")
        part = scan.starting.get(step)
        if part is None or not part.is_part or (step == at and not scan.gap[at]):
            break
        at = part.end
    return at


def found_so(scan: Scan) -> frozenset[int]:
    """Units of "they'd thread lock on them, the blue stuff": it was on them, nobody put it there today."""
    found: set[int] = set()
    for at in range(1, len(scan.text) - 2):
        if scan.text[at] not in _HAD or scan.text[at - 1] not in _HAD_IT:
            continue
        part = scan.starting.get(at + 1)
        behind = scan.text[part.end : part.end + 2] if part is not None and part.is_part else []
        if len(behind) < 2 or behind[0] not in ("on", "in") or behind[1] not in _ON_THEM:
            continue
        end = at + 1
        while end < len(scan.text) and scan.gap[end] < SENTENCE and scan.text[end] not in _CLAUSES:
            end += 1
        found.update(range(at - 1, end))
    return frozenset(found)


def did_over(scan: Scan) -> frozenset[int]:
    """Units behind "and did the plugs and the filter": they were not taken off with the covers named before."""
    found: set[int] = set()
    for at in range(len(scan.text) - 1):
        part = scan.starting.get(at + 1)
        if scan.text[at] != "did" or part is None or not part.is_part:
            continue
        end = at
        while end + 1 < len(scan.text) and scan.gap[end + 1] < SENTENCE and scan.text[end + 1] not in ("off", "out"):
            end += 1
            if end in scan.verbs:
                break
        if end + 1 >= len(scan.text) or scan.text[end + 1] not in ("off", "out"):
            found.update(range(at, end))
    return frozenset(found)


def untouched(scan: Scan) -> dict[int, int]:
    """First units of parts put in front that nothing was done to, each with the end of what says so: "the head bolts
    I haven't touched"."""
    found: dict[int, int] = {}
    for part in scan.phrases:
        at = part.end
        if not part.is_part or any(scan.gap[at : at + 4]):
            continue
        words = scan.text[at : at + 4]
        if len(words) < 4 or words[2] != "not":
            continue
        if words[0] in _SPEAKERS and words[1] in _DO_NOT and words[3] in _TOUCHED:
            found[part.start] = at + 4
    return found
