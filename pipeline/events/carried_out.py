"""A plan that the next breath tells carried out: what was about to be done, and then how it is now.

"I'll scrape that off. Right, that's scraped." "I'm going to pull the rotor. There, it's off." "The nut, I'm gonna
pinch that up, okay, tight." A plan for another day is not, nor what only will be so ("until it's tight").
"""

from __future__ import annotations

from collections.abc import Set

from pipeline.events.clauses import sentence_around
from pipeline.events.phrase import Phrase, Scan
from pipeline.records import Event

HEARD = "; then heard"
"""How the reason ends for which a plan is taken to be carried out."""

_ABOUT_TO = frozenset(("going", "will", "let"))
_ANOTHER_TIME = frozenset(
    ("when", "once", "after", "later", "tomorrow", "tonight", "afterwards", "if", "before", "eventually", "weekend",
     "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday", "week", "month", "winter", "not",
     "never")
)  # fmt: skip
# What may stand in front of the words that tell it; some of these tell it without "it's" behind them.
_MARKS = frozenset(
    ("right", "okay", "ok", "there", "good", "righto", "yeah", "yep", "yes", "lovely", "alright", "nice", "great",
     "perfect")
)  # fmt: skip
_OPENERS = _MARKS | frozenset(("and", "so", "now", "see", "well", "oh"))
_MOST_OPENERS = 3
_POINTS = frozenset(("it", "that", "they", "those", "these", "both"))
_IS = frozenset(("is", "'s", "are", "'re"))
_FILLERS = frozenset(("it", "them", "that", "all", "both", "just", "now", "nicely", "well", "back", "right", "there"))
# Behind one of these it is no report but a condition, a reason or a hope.
_LEADS_ON = frozenset(
    ("when", "once", "until", "till", "if", "before", "after", "because", "while", "as", "unless", "sure", "whether",
     "that", "which", "where", "what", "how", "than", "not", "never", "hope", "think", "hopefully", "time", "say",
     "says")
)  # fmt: skip
_GOES_ON = frozenset(("and", "so", "now", "then", "but", "next", "nicely", "okay", "right", "again", "too", "good"))
_ASIDE = frozenset(
    ("in", "on", "from", "with", "under", "at", "of", "by", "to", "into", "onto", "through", "round", "around", "over")
)  # fmt: skip
_ANY = frozenset(("done", "sorted"))
_IN = frozenset(("in", "on", "home", "fitted", "seated", "through", "down"))
_OFF = frozenset(("out", "off", "away", "free", "gone", "apart", "clear"))
_TIGHT = frozenset(("tight", "snug", "nipped", "tightened", "torqued", "up"))
_SLACK = frozenset(("loose", "slack", "free", "cracked", "undone"))
_SO = {
    "fit": _IN, "renew": _IN, "assemble": _IN, "connect": _IN, "remove": _OFF, "dismantle": _OFF, "disconnect": _OFF,
    "tighten": _TIGHT, "torque": _TIGHT, "slacken": _SLACK, "clean": frozenset(("clean",)),
}  # fmt: skip
_CAME = frozenset(("came", "comes", "come", "go", "goes", "went"))
_BEHIND_RESULT = _IN | _OFF | {"up", "over", "back"}
_GOALS, _SHORTEST_GOAL = ("until", "till"), 4
_WITHIN, _REPORT = 16, 6  # units


def is_about_to(start: int, end: int, scan: Scan) -> bool:
    """Whether the sentence around a plan's words tells what is done now, not at another time."""
    opened, closed = sentence_around(scan, start)[0], sentence_around(scan, end - 1)[1]
    said = scan.text[opened : min(closed, end + _WITHIN)]
    return not _ABOUT_TO.isdisjoint(said) and _ANOTHER_TIME.isdisjoint(said)


def carried_out(event: Event, span: tuple[int, int], scan: Scan) -> bool:
    """True where the words soon behind a plan tell that it is done."""
    start, end = span
    if event.status != "planned" or not is_about_to(start, end, scan):
        return False
    verbs = {reading.lemma for at in range(start, end) for reading in scan.verbs.get(at, (0, ()))[1]}
    results = _SO.get(event.action, frozenset()) | _ANY | _goals(start, sentence_around(scan, end - 1)[1], scan)
    for at in range(end, min(len(scan.text), end + _WITHIN)):
        if any(part.is_part and part.determiner and not _is_aside(part, scan) for part in scan.phrases_in(end, at)):
            return False  # it is another part that is on
        if _is_report(at, verbs, results, scan):
            return True
    return False


def _goals(start: int, end: int, scan: Scan) -> frozenset[str]:
    """ "do those screws up till they're flush": what it is to be like."""
    at = next((at for at in range(start, end) if scan.text[at] in _GOALS), end)
    return frozenset(word for word in scan.text[at + 1 : end] if len(word) >= _SHORTEST_GOAL) - _LEADS_ON - _OPENERS


def _is_report(at: int, verbs: Set[str], results: Set[str], scan: Scan) -> bool:
    """ "that's scraped", "there, it's off", "okay, tight", "off it came", "Nipped." at a unit."""
    text, gap = scan.text, scan.gap
    first = at
    while at - first < _MOST_OPENERS and text[first - 1] in _OPENERS:
        first -= 1
    if not gap[first] and (first == at or text[first - 1] in _LEADS_ON):
        return False
    following = text[at + 1 : at + 3]
    if text[at] in results and len(following) == 2 and following[0] in _POINTS and following[1] in _CAME:
        return True
    is_told = text[at] in _POINTS and following[:1] != [] and following[0] in _IS
    said = at + 2 if is_told else at
    while is_told and said < len(text) and said - at < _REPORT and text[said] in _FILLERS - results:
        said += 1
    if said >= len(text) or not (text[said] in results or _is_done_to(said, verbs, scan)):
        return False
    alone = gap[at] > 0 and _is_done_to(at, verbs, scan)
    if not (is_told or alone or not _MARKS.isdisjoint(text[first:at])):
        return False
    while said + 1 < len(text) and not gap[said + 1] and text[said + 1] in _BEHIND_RESULT:
        said += 1
    closed = said + 1 >= len(text) or gap[said + 1] > 0
    return closed or (text[said + 1] in _GOES_ON and not (alone and not is_told))


def _is_done_to(at: int, verbs: Set[str], scan: Scan) -> bool:
    """The participle of a verb of the plan: "I'll dress that ... that's dressed"."""
    return any(reading.lemma in verbs and "pp" in reading.tags for reading in scan.verbs.get(at, (0, ()))[1])


def _is_aside(part: Phrase, scan: Scan) -> bool:
    """ "with the drag link", "in the vice"."""
    return part.start > 0 and scan.text[part.start - 1] in _ASIDE
