"""Said assembly orders: "shim first, then the washer with its tab, then the gear", "the order is key, gear, nut"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pipeline.events.phrase import Scan
from pipeline.events.reading import PAUSE, SENTENCE
from pipeline.events.recitals import repeats, starts_anew
from pipeline.events.rules import PhraseTable, Rules
from pipeline.records import Event
from pipeline.vocabulary import regular_plural

# A nut that is only told to be done up went on, too, among things that were fitted.
_PUT_ON, _DONE_UP = frozenset(("fit", "assemble")), frozenset(("torque", "tighten"))
_ORDERED = _PUT_ON | _DONE_UP | {"remove"}
# Steps are named so near each other, in words; things of one list nearer still.
_REACH, _LIST_REACH = 25, 9
# What goes on with another is no step of its own: "the gear with its key".
_WITH = ("with", "plus", "including")
# A list is an order of its own where so much is in it, and where words say so a few words before it or right after.
_FEWEST, _SAYS_BEFORE, _SAYS_AFTER = 3, 12, 8


@dataclass(frozen=True, slots=True)
class _Step:
    """An event that may be a step, and the units that name its part."""

    index: int
    start: int
    end: int


def number_orders(events: Sequence[Event], spans: Sequence[tuple[int, int]], scan: Scan, rules: Rules) -> list[Event]:
    """The events with `sequence` and `step` filled where order words join their parts, or a list said to be in order.

    Events are numbered by where their parts are named: one quotation may hold several.
    """
    found = (
        _step(index, event, spans[index], scan) for index, event in enumerate(events)
        if event.action in _ORDERED and event.status not in ("negated", "past")
    )  # fmt: skip
    steps = sorted(filter(None, found), key=lambda step: step.start)
    numbered = list(events)
    for sequence, chain in enumerate(_chains(steps, events, scan, rules), start=1):
        step = 0
        for before, now in zip([None, *chain], chain, strict=False):
            step += 0 if before is not None and _goes_with(before, now, scan) else 1
            numbered[now.index] = replace(events[now.index], sequence=sequence, step=step)
    return numbered


def _step(index: int, event: Event, span: tuple[int, int], scan: Scan) -> _Step | None:
    """Where an event's words name its part; None where they do not: what is only meant has no place in an order."""
    named = [one for one in scan.phrases_in(span[0], span[1] + 1) if one.name == event.part]
    # "bottom gasket, then plate, then top gasket": two of one name
    own = [one for one in named if (one.side, one.position) == (event.side, event.position)]
    phrase = next(iter(own or named), None)
    if phrase is not None:
        return _Step(index, phrase.start, phrase.end)
    head = next(iter(event.part.split()[-1:]), "")
    spot = next((at for at in range(*span) if scan.text[at] in (head, regular_plural(head))), -1)
    return _Step(index, spot, spot + 1) if head and spot >= 0 else None


def _chains(steps: Sequence[_Step], events: Sequence[Event], scan: Scan, rules: Rules) -> list[list[_Step]]:
    """Steps joined one to the next, of which some are joined by an order word or all are of a list in order."""
    chains: list[list[_Step]] = []
    chain: list[_Step] = []
    ordered = False
    for before, now in zip([None, *steps], [*steps, None], strict=True):
        joined = told = False
        if before is not None and now is not None and _alike(events[before.index], events[now.index]):
            opens = _is_first(now, scan, rules)
            fastened = _DONE_UP.intersection((events[before.index].action, events[now.index].action))
            near = not fastened or now.start - before.end <= _LIST_REACH
            told = near and not opens and _follows(before, now, scan, rules)
            joined = told or (not opens and _listed(before, now, scan))
        if not joined:
            done_up = sum(events[step.index].action in _DONE_UP for step in chain)
            if (
                len(chain) > 1
                and done_up <= len(chain) - done_up
                and (
                    (put_right := _puts_right(chains, chain, events, scan))
                    or ordered
                    or (len(chain) >= _FEWEST and _said_in_order(chain, scan, rules))
                )
            ):
                if put_right:
                    chains.pop()
                chains.append(chain)
            chain, ordered = [], False
        if now is not None:
            chain.append(now)
        ordered = ordered or told
    return chains


def _puts_right(chains: Sequence[list[_Step]], chain: Sequence[_Step], events: Sequence[Event], scan: Scan) -> bool:
    """ "... then the ring nut, no wait, it's cone, spacer, first nut": this order stands instead of the one before."""
    if not chains or len(chain) < _FEWEST or chain[0].start - chains[-1][-1].end > _REACH:
        return False
    before, now = ([events[step.index].part for step in steps] for steps in (chains[-1], chain))
    return starts_anew(scan, chains[-1][-1].end, chain[0].start) and repeats(before, now)


def _alike(before: Event, after: Event) -> bool:
    return (before.action == "remove") == (after.action == "remove")


def _follows(before: _Step, now: _Step, scan: Scan, rules: Rules) -> bool:
    """True where an order word stands between the two, or the one before is said to be first."""
    if now.start - before.end > _REACH:
        return False
    if any(rules.cues["order"].at(scan.text, at) and not _counts(scan, at) for at in range(before.end, now.start)):
        return True
    return _is_first(before, scan, rules)


def _counts(scan: Scan, at: int) -> bool:
    """ "second hand", "last night", "third gear": a word of order that says nothing of one."""
    behind = scan.text[at + 1] if at + 1 < len(scan.text) and not scan.gap[at + 1] else ""
    return scan.text[at] in ("second", "third", "last", "next") and behind not in (
        "",
        "comes",
        "goes",
        "is",
        "the",
        "a",
    )


def _is_first(step: _Step, scan: Scan, rules: Rules) -> bool:
    """ "Dust shield goes down first", "first the washer"."""
    for at in range(max(0, step.start - 2), min(step.end + 4, len(scan.text))):
        between = scan.gap[min(at + 1, step.start) : step.start + 1] if at < step.start else scan.gap[step.end : at + 1]
        if not any(between) and rules.cues["first"].at(scan.text, at) and at not in range(step.start, step.end):
            return True
    return False


def _listed(before: _Step, now: _Step, scan: Scan) -> bool:
    """True for the next thing of one list, or what goes on with the one before."""
    if not 0 <= now.start - before.end <= _LIST_REACH:
        return False
    breaks = scan.gap[before.end : now.start + 1]
    if any(gap >= SENTENCE for gap in breaks):
        return False
    return any(breaks) or any(word in ("and", *_WITH) for word in scan.text[before.end : now.start + 1])


def _goes_with(before: _Step, now: _Step, scan: Scan) -> bool:
    """ "the gear with its key": one step."""
    between = scan.text[before.end : now.start]
    return now.start <= before.start or (
        bool(between) and between[0] in _WITH and not any(scan.gap[before.end : now.start])
    )


def _said_in_order(chain: Sequence[_Step], scan: Scan, rules: Rules) -> bool:
    """ "The order is key, gear, washer", "from the front it goes ...", "... Keep that in order": a list is enough."""
    cues: PhraseTable[bool] = rules.cues["in_order"]
    start, end = chain[0].start, chain[-1].end
    if any(cues.at(scan.text, at) for at in range(max(0, start - _SAYS_BEFORE), start)):
        return not any(gap >= SENTENCE for gap in scan.gap[max(1, start - 3) : start]) or scan.gap[start] < PAUSE
    return any(
        rules.cues["kept_in_order"].at(scan.text, at) for at in range(end, min(len(scan.text), end + _SAYS_AFTER))
    )
