"""What the speaker takes back or bears out in the next breath.

"I haven't fitted the clip. Actually, I have." "I'll drop the crank in. No I won't." "I'm going to sixty. Click. There."
"I've got new split pins, but only one of them is in."
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace

from pipeline.events.carried_out import carried_out
from pipeline.events.clauses import sentence_around
from pipeline.events.next_breath import did_so, goes_home, is_now, put_off
from pipeline.events.phrase import Scan
from pipeline.events.reading import SENTENCE
from pipeline.events.rules import Rules
from pipeline.events.said_otherwise import is_nothing, otherwise
from pipeline.records import Event, Status

_OPENERS = frozenset(
    ("no", "actually", "oh", "sorry", "wait", "well", "hang", "on", "a", "minute", "hold", "yes", "yeah", "lie", "tell",
     "oops", "but", "in", "fact")
)  # fmt: skip
_SPEAKERS = frozenset(("i", "we"))
_NOW: dict[str, Status] = {"have": "done", "did": "done", "am": "planned", "are": "planned", "will": "planned"}
_SOON = 10
# "No I won't", "actually no it isn't": so many words, and closed.
_SUBJECTS = _SPEAKERS | frozenset(("it", "that", "they", "those"))
_AUXILIARIES = frozenset(("have", "has", "did", "do", "does", "will", "am", "is", "are", "was", "were", "'s", "can"))
_INSTEAD, _INSTEAD_WITHIN = frozenset(("one", "ones")), 14
# What is heard when it is done, in sentences so short.
_HEARD = (
    ("click",), ("clicked",), ("it", "'s", "clicked"), ("there", "it", "goes"), ("there", "we", "go"),
    ("that", "'s", "it"),
    ("done",), ("that", "'s", "done"), ("that", "'s", "in"), ("that", "'s", "on"), ("that", "'s", "tight"),
    ("that", "'s", "home"), ("got", "it"), ("and", "done"), ("and", "that", "'s", "it"), ("there", "you", "go"),
)  # fmt: skip
_SHORT, _MOST_SHORT = 5, 2
_ABOUT_TO = frozenset(("going", "will", "let"))
_NOT_NOW = frozenset(
    ("when", "after", "once", "later", "until", "till", "tomorrow", "next", "then", "tonight", "afterwards", "if",
     "before")
)  # fmt: skip
_NUMBERS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
_IN_PLACE = frozenset(("in", "on", "fitted", "done", "there"))


def taken_back(events: Sequence[Event], spans: Sequence[tuple[int, int]], scan: Scan, rules: Rules) -> list[Event]:
    """The events in the status that the next words give them, and in the number that they tell."""
    return [_true(event, span, scan, rules) for event, span in zip(events, spans, strict=True)]


def never_came(event: Event, span: tuple[int, int], scan: Scan, rules: Rules, scrapped: Set[int] = frozenset()) -> bool:
    """ "I'll just drop the crank in. No I won't": nothing was done, and nothing is to be. `scrapped` are the units of
    "scrub that", which takes back what the sentence before told."""
    start = _next_sentence(scan, span[1] - 1)
    if event.status in ("done", "planned") and _behind_openers(scan, start) in scrapped:
        return True
    if is_nothing(event, span, scan, rules):
        return True
    about_to = not _ABOUT_TO.isdisjoint(scan.text[span[0] : span[1]])
    return event.status in ("done", "planned") and about_to and _denied(scan, span[1]) in ("will", "am")


def _true(event: Event, span: tuple[int, int], scan: Scan, rules: Rules) -> Event:
    status: Status | None = None
    if event.status == "negated":
        status = "done" if is_now(span[1], scan) else _owned_up(scan, span[1])
    elif event.status == "planned":
        told = _heard(scan, *span) or goes_home(event, *span, scan, rules) or carried_out(event, span, scan)
        status = "done" if told else None
    elif did_so(event, span[1], scan, rules):
        status = "done"
    elif event.status == "done" and _denied(scan, span[1]):
        status = "negated"
    elif event.status == "done":
        status = put_off(event, *span, scan, rules)
    status = status or otherwise(event, span, scan, rules)
    if status:
        then = "heard" if event.status == "planned" else "taken back"
        return replace(event, status=status, why=f"{event.why}; then {then}")
    number = _only_so_many(scan, span[1]) if event.status == "done" and event.action == "fit" else 0
    return replace(event, count=number) if number else event


def _owned_up(scan: Scan, end: int) -> Status | None:
    """What "actually, I have" makes of the sentence that ends at or soon behind a unit."""
    text, gap = scan.text, scan.gap
    start = _next_sentence(scan, end)
    at = _behind_openers(scan, start)
    closed = at + 2 >= len(text) or (at + 2 < len(text) and gap[at + 2] > 0)
    if at == start or at + 1 >= len(text) or text[at] not in _SPEAKERS or not closed:
        return None
    return _NOW.get(text[at + 1])


def _denied(scan: Scan, end: int) -> str:
    """The helping verb of "no I won't" or "actually no it isn't" right behind a sentence, "" where none follows."""
    text, gap = scan.text, scan.gap
    start = _next_sentence(scan, end)
    at = _behind_openers(scan, start)
    if not {"no", "actually"} & set(text[start:at]) or at + 2 >= len(text) or text[at] not in _SUBJECTS:
        return ""
    helper, closed = text[at + 1], at + 3 >= len(text) or gap[at + 3] > 0
    if helper not in _AUXILIARIES or text[at + 2] != "not" or not closed:
        return ""
    # "no I haven't, it's a new one": done, with another
    return "" if not _INSTEAD.isdisjoint(text[at + 3 : at + 3 + _INSTEAD_WITHIN]) else helper


def _heard(scan: Scan, start: int, end: int) -> bool:
    """Whether what the speaker is about to do is heard done in the short sentences behind."""
    opened, close = sentence_around(scan, start)[0], sentence_around(scan, end - 1)[1]
    said = scan.text[opened:close]
    if _ABOUT_TO.isdisjoint(said) or not _NOT_NOW.isdisjoint(said):
        return False
    for _ in range(_MOST_SHORT):
        if close >= len(scan.text):
            return False
        _, after = sentence_around(scan, close)
        words = tuple(scan.text[close:after])
        if words in _HEARD:
            return True
        if len(words) > _SHORT:
            return False
        close = after
    return False


def _only_so_many(scan: Scan, end: int) -> int:
    """How many "but only one of them is in" leaves, said in the same sentence or next; 0 for none."""
    text = scan.text
    for at in range(end, min(len(text) - 4, end + 4)):
        number = _NUMBERS.get(text[at + 1], 0)
        if text[at] == "only" and number and text[at + 2] == "of" and text[at + 3] in ("them", "those", "these"):
            return number if not _IN_PLACE.isdisjoint(text[at + 4 : at + 7]) else 0
    return 0


def _next_sentence(scan: Scan, end: int) -> int:
    """The unit that opens the next sentence, or what a comma and "no" open."""
    for at in range(end, min(len(scan.text), end + _SOON)):
        if scan.gap[at] >= SENTENCE or (scan.gap[at] and scan.text[at] == "no"):
            return at
    return len(scan.text)


def _behind_openers(scan: Scan, at: int) -> int:
    while at < len(scan.text) and scan.text[at] in _OPENERS:
        at += 1
    return at
