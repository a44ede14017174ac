"""Torques that were only wanted: "it's 290 newton metres, and I haven't got a wrench that goes that far".

A figure tells a torquing where nothing else does. Where the speaker goes on that he has nothing to reach it with, he
did not: what the figure alone told is still to do, and what a verb told was done without the figure. Nor does a plain
spanner show a torque: "done up, just with the spanner".
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from pipeline.events.clauses import sentence_around
from pipeline.events.figure_places import TOLD_BY_FIGURE
from pipeline.events.phrase import Scan
from pipeline.records import Event, Quantity, Token

READ = "the words around "
# How the reason of an event ends that waits for a wrench.
NO_MEANS = "; nothing to reach it with"
_BY_FIGURE = (TOLD_BY_FIGURE, "“to a figure”", READ)
_TOOLS = frozenset(("wrench", "wrenches", "multiplier"))
_LACKS = (
    ("not", "got"), ("not", "have"), ("not", "own"), ("have", "no"), ("got", "no"), ("have", "nothing"), ("no",),
    ("will", "borrow"), ("to", "borrow"), ("will", "hire"), ("to", "hire"),
)  # fmt: skip
_FALLS_SHORT = (
    ("only", "goes"), ("only", "does"), ("only", "reaches"), ("not", "go"), ("not", "reach"), ("not", "read"),
    ("stops", "at"), ("stops", "short"), ("tops", "out"), ("runs", "out"),
)  # fmt: skip
# "I did it with a multiplier because my wrench doesn't go that far", "so I borrowed one": reached all the same.
_REACHED = frozenset(("borrowed", "hired", "because", "cos", "since", "clicked", "click", "torqued", "managed"))
_TOOL_WITHIN, _SHORT_WITHIN = 5, 4
# A plain spanner shows no torque; what tells that one was meant all the same.
_SPANNERS = frozenset(("spanner", "spanners"))
_MEANT = frozenset(
    ("torque", "torqued", "torquing", "wrench", "click", "clicked", "figure", "newton", "pounds", "spec")
)


def by_plain_spanner(event: Event, span: tuple[int, int], scan: Scan) -> bool:
    """Whether a torquing was only read in words that tell of a plain spanner, without a figure."""
    if event.action != "torque" or event.status not in ("done", "past") or not event.why.startswith(READ):
        return False
    first, last = sentence_around(scan, span[0])[0], sentence_around(scan, span[1] - 1)[1]
    words = scan.text[first:last]
    figured = any(first <= at < last for at in scan.torques)
    return not figured and not _SPANNERS.isdisjoint(words) and _MEANT.isdisjoint(words)


def not_reached(
    told: Sequence[Event], linked: Sequence[Event], scan: Scan, tokens: Sequence[Token], figures: Mapping[str, Quantity]
) -> list[Event]:
    """The events `linked` to their figures, where a torque was not reached as they were `told` without it."""
    starts = [tokens[unit.token].start_word for unit in scan.units]
    return [
        _without(before, event) if _is_only_wanted(event, scan, starts, figures) else event
        for before, event in zip(told, linked, strict=True)
    ]


def _without(told: Event, event: Event) -> Event:
    """A torquing that the figure alone told is to do; anything else was done, and to no figure."""
    if told.action == "torque":
        return replace(event, status="planned", why=event.why + NO_MEANS)
    return replace(told, quantities=())


def _is_only_wanted(event: Event, scan: Scan, starts: Sequence[int], figures: Mapping[str, Quantity]) -> bool:
    by_figure = event.why.startswith(_BY_FIGURE) or not event.why.startswith("“torque")
    torques = [figures[key] for key in event.quantities if figures[key].kind == "torque"]
    if event.action != "torque" or event.status not in ("done", "past") or not by_figure or not torques:
        return False
    first, last = min(qty.start_word for qty in torques), max(qty.end_word for qty in torques)
    at, end = bisect_left(starts, first), bisect_left(starts, last)
    opened, close = sentence_around(scan, at)
    _, next_close = sentence_around(scan, close) if close < len(scan.text) else (close, close)
    if not _REACHED.isdisjoint(scan.text[opened:next_close]):
        return False
    return any(_has_nothing(scan.text, spot, next_close) for spot in range(min(at + 1, end), next_close))


def _has_nothing(text: Sequence[str], at: int, stop: int) -> bool:
    """ "haven't got a wrench", "no torque wrench", "my wrench only goes to a hundred" at a unit."""
    for lacks in _LACKS:
        end = at + len(lacks)
        if tuple(text[at:end]) == lacks and not _TOOLS.isdisjoint(text[end : min(stop, end + _TOOL_WITHIN)]):
            return True
    behind = text[at + 1 : min(stop, at + 1 + _SHORT_WITHIN)]
    return text[at] in _TOOLS and any(pair in _FALLS_SHORT for pair in pairwise(behind))
