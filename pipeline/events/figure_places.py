"""Where figures of one kind went to one event: torques of another part leave it, figures of another place split it.

"The axle bolts get a hundred and twenty, and forty on the link nuts": the forty is not of the bolts. "Seventy five in
the back tyre and seventy in the front": two tyres were filled.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from pipeline.records import Event, Quantity

Span = tuple[int, int]
Figures = Mapping[str, Quantity]
# "forty on the link nuts" tells that they were torqued, whatever event the figure stood beside.
_TELLS_WORK = "torque"
_ELECTRIC = frozenset({"voltage", "current", "resistance"})
# How the reason of an event begins that only a figure tells.
TOLD_BY_FIGURE = "“a torque figure”"


def settled(events: Sequence[Event], spans: Sequence[Span], figures: Figures) -> tuple[list[Event], list[Span]]:
    """The events, each with torques of its own part and figures of its own place only, and their spans."""
    told = [pair for pair in zip(events, spans, strict=True) if not _is_none(pair[0], figures)]
    events, spans = [event for event, _ in told], [span for _, span in told]
    own, homeless = _of_their_own(events, figures)
    found: list[Event] = []
    places: list[Span] = []
    for index, (event, span) in enumerate(zip(own, spans, strict=True)):
        for one in (*_by_place(event, figures), *(_of_figure(event, figures[key]) for key in homeless[index])):
            found.append(one)
            places.append(span)
    return found, places


def _is_none(event: Event, figures: Figures) -> bool:
    """Whether only a figure told a torquing, and it was of another part, a stage of one told before, or no torque."""
    if event.action != _TELLS_WORK:
        return False
    kinds = {figures[key].kind for key in event.quantities}
    return (not kinds and event.why.startswith(TOLD_BY_FIGURE)) or (bool(kinds) and kinds <= _ELECTRIC)


def _of_their_own(events: Sequence[Event], figures: Figures) -> tuple[list[Event], list[list[str]]]:
    """The events without torques of other parts where they have one of their own, and for each those of them that no
    other event is of; others go to the one event that is of what they belong to."""
    kept: list[list[str]] = [list(event.quantities) for event in events]
    homeless: list[list[str]] = [[] for _ in events]
    for index, event in enumerate(events):
        torques = [figures[key] for key in event.quantities if figures[key].kind == _TELLS_WORK]
        strangers = [qty for qty in torques if not _is_own(qty, event)]
        if len(strangers) == len(torques):
            continue
        for qty in strangers:
            kept[index].remove(qty.id)
            homes = [
                place for place, other in enumerate(events)
                if place != index and _is_own(qty, other)
                and all(figures[key].kind != _TELLS_WORK for key in kept[place])
            ]  # fmt: skip
            if len(homes) == 1:
                kept[homes[0]].append(qty.id)
            elif not any(qty.id in keys for keys in (*kept, *homeless)):
                homeless[index].append(qty.id)
    own = [replace(event, quantities=tuple(keys)) for event, keys in zip(events, kept, strict=True)]
    return own, homeless


def _is_own(qty: Quantity, event: Event) -> bool:
    """Whether a figure belongs to the part or fluid of an event; one of nothing may belong to any."""
    names = (name.lower().split()[-1] for name in (event.part, event.fluid) if name)
    return not qty.subject or qty.subject.lower().split()[-1] in names


def _of_figure(beside: Event, qty: Quantity) -> Event:
    """The work that a figure tells of its own part, beside an event in which it was told."""
    return replace(
        beside, part=qty.subject, side=qty.side, position=qty.position, condition="", finish="", count=None,
        quantities=(qty.id,), tool="", said=qty.said, start_word=qty.start_word, end_word=qty.end_word,
        start_ms=qty.start_ms, fluid="", fastening="", reason="", applicability="", found="",
        why=f"“{qty.said}” means {qty.kind}; of another part than the torque before",
    )  # fmt: skip


def _by_place(event: Event, figures: Figures) -> list[Event]:
    """One event for each place of whose part figures of one kind were said."""
    told = [figures[key] for key in event.quantities]
    kinds = Counter(qty.kind for qty in told)
    found = list(dict.fromkeys(_place(qty) for qty in told if kinds[qty.kind] > 1 and any(_place(qty))))
    if len(found) < 2:
        return [event]
    found.sort(key=lambda place: place != (event.side, event.position))
    split = []
    for side, position in found:
        own = tuple(qty.id for qty in told if _place(qty) == (side, position) or _place(qty) not in found)
        split.append(replace(event, side=side, position=position, quantities=own))
    return split


def _place(qty: Quantity) -> tuple[str, str]:
    return qty.side, qty.position
