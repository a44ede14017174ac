"""What the words right behind a deed say of it: put off, done since, or done as it was told to be.

"The nut is sixty newton metres. I've not done it yet." "The wire was never connected. It is now." "I'll put the new
one in, and it just drops in. Lovely." "The book says sixty. So that's what I did."
"""

from __future__ import annotations

from pipeline.events.clauses import sentence_around
from pipeline.events.phrase import Scan
from pipeline.events.reading import SENTENCE
from pipeline.events.rules import Rules
from pipeline.records import Event, Status

_ONLY_A_FIGURE = ("“a torque figure”", "“to a figure”")
_POINTS = frozenset(("it", "that", "they", "those", "these", "this"))
_BE_OR_HAVE = frozenset(("is", "are", "'s", "'re", "has", "have"))
# So many words behind its words a deed is put off, or goes home.
_SOON, _HOME_WITHIN, _LEAD_IN = 12, 26, 3
_LEADS = frozenset(("so", "and", "but", "well", "because", "though", "still", "only"))
_GOES_HOME = frozenset(
    ("drops", "dropped", "slides", "slid", "slips", "slipped", "goes", "went", "pops", "popped", "pushes", "pushed",
     "presses", "pressed", "screws", "screwed", "clicks", "clicked", "falls", "fell", "fits", "taps", "tapped")
)  # fmt: skip
_WENT = frozenset(("dropped", "slid", "slipped", "went", "popped", "pushed", "pressed", "screwed", "clicked", "fell",
                   "tapped"))  # fmt: skip
_HOW, _HOME = frozenset(("just", "then", "straight", "right", "all", "nicely")), frozenset(("in", "on", "home"))
_NOT_NOW = frozenset(
    ("when", "after", "once", "later", "until", "till", "tomorrow", "next", "tonight", "if", "before", "should",
     "hopefully", "usually", "normally", "would", "not", "never")
)  # fmt: skip


def put_off(event: Event, start: int, end: int, scan: Scan, rules: Rules) -> Status | None:
    """ "Flywheel bolts want seventy newton metres but I've not done them": what a bare torque makes of it then."""
    if event.action not in ("torque", "tighten") or not event.why.startswith(_ONLY_A_FIGURE):
        return None
    sentences = 0
    for at in range(start, min(len(scan.text), end + _SOON)):
        sentences += at >= end and scan.gap[at] >= SENTENCE
        if sentences > 1 or (at >= end and any(part.is_part for part in scan.phrases_in(at, at + 1))):
            return None
        hit = rules.put_off.at(scan.text, at)
        if hit and (hit[0] == len(scan.text) or scan.gap[hit[0]] or scan.text[hit[0]] in _LEADS | {"yet"}):
            return "negated" if hit[1] == "negated" else "planned"
    return None


def is_now(end: int, scan: Scan) -> bool:
    """ "It is now.", "They have now.": right behind a sentence that told what had not been done."""
    start = _next_sentence(scan, end)
    at = start
    while at < len(scan.text) and at - start < _LEAD_IN and scan.text[at] in ("well", "but", "and", "oh"):
        at += 1
    words = scan.text[at : at + 3]
    told = len(words) == 3 and words[0] in _POINTS and words[1] in _BE_OR_HAVE and words[2] == "now"
    return told and (at + 3 >= len(scan.text) or scan.gap[at + 3] > 0)


def goes_home(event: Event, start: int, end: int, scan: Scan, rules: Rules) -> bool:
    """ "I'll put the new one in, ... and it just drops in. Lovely.": what was to be fitted is fitted."""
    if event.action not in ("fit", "renew", "assemble"):
        return False
    opened = sentence_around(scan, start)[0]
    for at in range(end, min(len(scan.text) - 2, end + _HOME_WITHIN)):
        if scan.text[at] not in ("it", "they", "that"):
            continue
        verb = at + 1
        while verb + 1 < len(scan.text) and scan.text[verb] in _HOW and not scan.gap[verb]:
            verb += 1
        where = verb + 1
        while where + 1 < len(scan.text) and scan.text[where] in _HOW and not scan.gap[where]:
            where += 1
        if scan.text[verb] not in _GOES_HOME or scan.text[where : where + 1] == []:
            continue
        closed = where + 1 >= len(scan.text) or scan.gap[where + 1] > 0
        if scan.text[where] not in _HOME or not closed or not _NOT_NOW.isdisjoint(scan.text[opened : where + 1]):
            continue
        if any(
            part.is_part and part.determiner and not _is_where(part.start, scan) for part in scan.phrases_in(end, at)
        ):
            continue  # it is another part that drops in
        if scan.text[verb] in _WENT or rules.pleased.at(scan.text, where + 1):
            return True
    return False


def did_so(event: Event, end: int, scan: Scan, rules: Rules) -> bool:
    """ "The book says do them up to a hundred and sixty. So that's what I did."."""
    start = _next_sentence(scan, end)
    hit = rules.did_so.at(scan.text, start) if event.status == "advised" else None
    return hit is not None and (hit[0] >= len(scan.text) or scan.gap[hit[0]] > 0)


def _is_where(at: int, scan: Scan) -> bool:
    """ "in the freezer", "on the bench"."""
    return scan.text[at - 1 : at] != [] and scan.text[at - 1] in ("in", "on", "from", "with", "under", "at")


def _next_sentence(scan: Scan, end: int) -> int:
    """The unit that opens the sentence behind the one that ends at a unit."""
    for at in range(end, min(len(scan.text), end + _SOON)):
        if scan.gap[at] >= SENTENCE:
            return at
    return len(scan.text)
