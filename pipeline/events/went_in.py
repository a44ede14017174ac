"""Which amounts went in where something was drained before: the filling has them, and what was drained is filled.

"I drained the sump. Then four litres of ten W forty went in." "Drained it, three and a half litres came out."
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import replace

from pipeline.events.phrase import Phrase, Scan
from pipeline.records import Event, Quantity, Token

_OF_FILLING = frozenset(("volume", "viscosity", "grade"))
_OUT = frozenset(("out", "drained", "lost", "caught", "old"))
_BY_AMOUNT = "“an amount of a fluid”"
_TALKED_OF, _AROUND = 70, 8


def drained_before(
    events: Sequence[Event], spans: Sequence[tuple[int, int]], heads: Sequence[int], at: int, scan: Scan
) -> Phrase | None:
    """The part that was drained last before a unit, where it was not filled since."""
    for index in range(len(events) - 1, -1, -1):
        event, (_, end) = events[index], spans[index]
        if at - end > _TALKED_OF:
            return None
        if event.action in ("fill", "top_up") and event.status == "done":
            return None
        if event.action == "drain" and event.status in ("done", "past"):
            return scan.ending.get(heads[index] + 1)
    return None


def with_what_went_in(events: Sequence[Event], figures: Mapping[str, Quantity], tokens: Sequence[Token]) -> list[Event]:
    """The events; a filling has the amounts that stand in its words, whatever event they stood beside.

    Of two fillings in one breath each has the amounts and the fluid that are told behind it.
    """
    kept = [list(event.quantities) for event in events]
    starts = [token.start_word for token in tokens]
    for place, event in enumerate(events):
        if event.action != "fill" or event.status != "done":
            continue
        first = _opens(event, events, starts, tokens)
        for key, qty in figures.items():
            if qty.kind not in _OF_FILLING or not first <= qty.start_word < event.end_word:
                continue
            homes = [at for at, keys in enumerate(kept) if key in keys and at != place]
            if any(not _gives_up(events[at], event) for at in homes) or _came_out(qty, starts, tokens):
                continue
            for at in homes:
                kept[at].remove(key)
            if key not in kept[place]:
                kept[place].append(key)
    told = [replace(event, quantities=tuple(keys)) for event, keys in zip(events, kept, strict=True)]
    return [_with_own_fluid(event, told[at + 1 : at + 2], tokens) for at, event in enumerate(told)]


def _gives_up(one: Event, filling: Event) -> bool:
    """Whether an event's amount is rather the filling's: what was drained, or filled before it in the same breath."""
    return one.action == "drain" or (one.action == "fill" and one.start_word < filling.start_word)


def _opens(event: Event, events: Sequence[Event], starts: Sequence[int], tokens: Sequence[Token]) -> int:
    """The word with which the clause of a filling begins: "three hundred mil of ninety weight | was pumped in"."""
    at = bisect_left(starts, event.start_word)
    floor = max((other.end_word for other in events if other.end_word <= event.start_word), default=0)
    while at and starts[at - 1] >= floor and tokens[at - 1].text[-1:] not in ",.;:?!":
        if tokens[at - 1].text.lower() in ("and", "then"):
            break
        at -= 1
    return starts[at] if at < len(starts) else event.start_word


def _with_own_fluid(event: Event, after: Sequence[Event], tokens: Sequence[Token]) -> Event:
    """Without the fluid that went into the next vessel."""
    nxt = after[0] if after else None
    if nxt is None or event.action != "fill" or nxt.action != "fill" or not nxt.why.startswith(_BY_AMOUNT):
        return event
    same = event.fluid and event.fluid == nxt.fluid
    said = " ".join(
        token.text for token in tokens if event.start_word <= token.start_word < nxt.start_word
    ).lower()  # fmt: skip
    return replace(event, fluid="") if same and event.fluid.lower() not in said else event


def _came_out(qty: Quantity, starts: Sequence[int], tokens: Sequence[Token]) -> bool:
    """ "three and a half litres came out": said right behind the figure, in its clause."""
    at = bisect_left(starts, qty.end_word)
    if at and tokens[at - 1].text[-1:] in ",.;:?!":
        return False
    for token in tokens[at : at + _AROUND]:
        word = token.text.lower().strip(",.;:?!")
        if word in _OUT:
            return True
        if word in ("went", "gone", "in") or token.text[-1:] in ",.;:?!":
            return False
    return False
