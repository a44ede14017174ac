"""What the words of a deed say of it beyond doubt: the old one, the one of several, both sides, and what was moved.

"I put the old one back." "Six screws, one of them was stripped so I drilled it out." "Both fork seals new, left and
right." "Primed, not painted yet." "I moved the switch from the side cover to the headlight ears."
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.events.clauses import sentence_around
from pipeline.events.phrase import Phrase, Scan, says
from pipeline.events.rules import Rules
from pipeline.records import Event

Span = tuple[int, int]
_PUT = frozenset(("fit", "renew", "assemble"))
_OLD_ONE = (("the", "old", "one"), ("the", "old", "ones"), ("the", "original", "one"), ("my", "old", "one"))
_PUTTING = frozenset(("put", "go", "stick", "pop"))
_GOES_BACK = frozenset(("is", "'s", "are", "has", "have", "going", "goes", "go", "went", "gone", "just", "now"))
# A fault of one of several, so many words before the work on "it".
_ONE_OF, _FAULT_WITHIN = (("one", "of", "them"), ("one", "of", "those"), ("one", "of", "these")), 14
_IT = frozenset(("it", "that"))
_LOOKED = frozenset(("is", "was", "'s", "had", "has", "snapped", "sheared", "broke", "stripped", "seized", "rounded"))
_MOVED = frozenset(("moved", "shifted", "relocated", "moving", "shifting", "relocating", "repositioned"))
_TO_PLACE = (
    ("to", "under"), ("to", "behind"), ("to", "beside"), ("to", "inside"), ("to", "above"), ("to", "below"),
    ("to", "in", "front"), ("to", "underneath"), ("over", "to"), ("onto",), ("across", "to"),
)  # fmt: skip
# What is moved along a scale is set.
_SCALE = frozenset(
    ("notch", "groove", "hole", "slot", "position", "setting", "mark", "step", "tooth", "degree", "gear", "speed",
     "stop", "turn", "click")
)  # fmt: skip
_BOTH = (("left", "and", "right"), ("right", "and", "left"))


def other_place_told(index: int, events: Sequence[Event], heads: Sequence[int], scan: Scan) -> bool:
    """ "The rear bearing is fine. ... New front bearing is on.": no rear one is fitted by those words."""
    event, named = events[index], scan.ending.get(heads[index] + 1)
    return event.action in _PUT and bool(event.position) and any(
        other.action == event.action and other.part == event.part and other.status == event.status
        and other.start_word > event.start_word and other.start_word < event.end_word <= other.end_word
        and other.position not in ("", event.position) and named is not None
        and _named_again(scan.ending.get(heads[at] + 1), other.position, named)
        for at, other in enumerate(events) if at != index
    )  # fmt: skip


def _named_again(phrase: Phrase | None, position: str, named: Phrase) -> bool:
    """Whether the part is named with another place of its own, behind where it was named first."""
    return phrase is not None and phrase.position == position and phrase.start > named.end


def with_own_details(
    events: Sequence[Event], spans: Sequence[Span], heads: Sequence[int], scan: Scan, rules: Rules
) -> list[Event]:
    """The events as their own words tell them."""
    return [
        _told(event, span, head, events, scan, rules)
        for event, span, head in zip(events, spans, heads, strict=True)
    ]  # fmt: skip


def _told(event: Event, span: Span, head: int, events: Sequence[Event], scan: Scan, rules: Rules) -> Event:
    event = _the_old_one(event, span, scan, rules)
    event = _one_of_several(event, span, scan)
    event = _both(event, span, head, events, scan)
    return _moved(event, span, scan)


def _the_old_one(event: Event, span: Span, scan: Scan, rules: Rules) -> Event:
    """ "The new belt's the wrong length so I put the old one back", "New chain? No, the old one's going back on"."""
    if event.action not in _PUT or event.condition != "new":
        return event
    for at in range(span[0], span[1]):
        if not says(scan.text, _OLD_ONE, at, at + 1) or not at:
            continue
        verb = rules.verbs.at(scan.text, at - 1) or rules.verbs.at(scan.text, at - 2)
        lemmas = {reading.lemma for reading in verb[1]} if verb is not None else set()
        puts = bool(lemmas & _PUTTING) or any(rules.plain.get(lemma) in _PUT for lemma in lemmas)
        behind = scan.text[at + 3 : at + 4]
        if puts and scan.text[at - 1] == "put" and behind in (["to"], ["in"], ["aside"], ["by"], ["away"]):
            puts = False
        if puts or _goes_back(scan, at + 3):
            return replace(event, condition="reused", action="fit" if event.action == "renew" else event.action)
    return event


def _goes_back(scan: Scan, at: int) -> bool:
    """Whether the old one, behind whose words a unit stands, goes back: "'s going back on", "went back in"."""
    goes = next((spot for spot in range(at, at + 3) if scan.text[spot : spot + 1] == ["back"]), None)
    return goes is not None and all(word in _GOES_BACK for word in scan.text[at:goes]) and not any(scan.gap[at:goes])


def _one_of_several(event: Event, span: Span, scan: Scan) -> Event:
    """ "six screws, one of them was stripped so I drilled it out", "five bolts, one snapped"."""
    start = sentence_around(scan, span[0])[0]
    end = min(len(scan.text), span[1] + 1)
    for at in range(max(start, span[1] - _FAULT_WITHIN), end - 1):
        of_them = says(scan.text, _ONE_OF, at, at + 1)
        if not of_them and not (scan.text[at] == "one" and scan.text[at + 1] in _LOOKED and scan.gap[at]):
            continue
        several = _several(scan, start, at)
        if several is None:
            return event
        if event.action == "inspect" and event.part == several.name and at < span[1]:
            return replace(event, count=1)
        worked = event.action not in ("inspect", "remove", "fit") or of_them
        told = [place for place in range(at + 2, span[1]) if scan.text[place] in _IT and place - 1 in scan.verbs]
        if worked and told and event.action != "inspect" and event.part != several.name:
            named = any(phrase.name == event.part for phrase in scan.phrases_in(at + 2, span[1]))
            if not named:
                return replace(event, part=several.name, count=1, assembly=several.assembly or event.assembly)
    return event


def _several(scan: Scan, start: int, at: int) -> Phrase | None:
    """The plural right before "one of them", where it is named in the sentence."""
    told = [phrase for phrase in scan.phrases_in(start, at) if phrase.is_part]
    return told[-1] if told and (told[-1].plural or (told[-1].count or 0) > 1) else None


def _both(event: Event, span: Span, head: int, events: Sequence[Event], scan: Scan) -> Event:
    """ "Both fork seals, left and right", "the front's cracked and the rear's bald so both replaced"."""
    _, close = sentence_around(scan, head)
    if event.side in ("left", "right") and (event.count or 0) > 1:
        behind = scan.text[head + 1 : close]
        if any(says(scan.text, _BOTH, at, at + 1) for at in range(head + 1, close)) and len(behind) < _FAULT_WITHIN:
            return replace(event, side="both")
    words = scan.text[head + 1 : span[1]]
    if event.position and event.count == 2 and "both" in words:
        places = {
            other.position for other in events
            if other.part == event.part and other.position and event.start_word <= other.start_word < event.end_word
        }  # fmt: skip
        if len(places) > 1:
            return replace(event, position="")
    return event


def _moved(event: Event, span: Span, scan: Scan) -> Event:
    """What is moved to another place is fitted there; what is moved along its scale is set."""
    if event.action not in ("adjust", "route") or event.status == "advised":
        return event
    start, end = sentence_around(scan, span[0])
    verb = next((at for at in range(start, min(end, span[1])) if scan.text[at] in _MOVED), None)
    if verb is None:
        return event
    behind = scan.text[verb + 1 : end]
    across = "from" in behind and "to" in behind[behind.index("from") :]
    placed = across or says(scan.text, _TO_PLACE, verb + 1, end)
    scale = any(word.rstrip("s") in _SCALE for word in behind)
    return replace(event, action="fit") if placed and not scale else event


def coats_apart(events: Sequence[Event], spans: Sequence[Span], scan: Scan) -> tuple[list[Event], list[Span]]:
    """ "Rubbed down, primed, not painted yet": primed, and a coat of paint that is denied."""
    found: list[Event] = []
    places: list[Span] = []
    for event, span in zip(events, spans, strict=True):
        words = event.finish.split()
        start, end = sentence_around(scan, span[0])
        denied = [word for word in words if _is_denied(word, scan, start, end)]
        apart = event.action == "coat" and event.status == "done" and len(words) > 1 and 0 < len(denied) < len(words)
        found.append(replace(event, finish=" ".join(w for w in words if w not in denied)) if apart else event)
        places.append(span)
        known = any((other.status, other.action, other.part) == ("negated", "coat", event.part) for other in events)
        if apart and not known:
            why = f"“{denied[0]}” means coat; not"
            found.append(replace(event, finish=" ".join(denied), status="negated", quantities=(), why=why))
            places.append(span)
    return found, places


def _is_denied(word: str, scan: Scan, start: int, end: int) -> bool:
    """ "not painted", "not yet been painted"."""
    at = next((place for place in range(start, end) if scan.text[place] == word), None)
    if at is None:
        return False
    while at > start and not scan.gap[at] and scan.text[at - 1] in ("been", "yet", "even", "be"):
        at -= 1
    return at > start and not scan.gap[at] and scan.text[at - 1] == "not"
