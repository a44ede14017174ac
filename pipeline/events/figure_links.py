"""With which event each figure was said: "that's tight, 25 newton metres" gives the torque of the drain plug.

The events near a figure and none are the candidates; weights of `pipeline/data/figure_weights.json` (fitted by
`tools/fit_figures.py`) choose. A torque makes a tightening or fitting a torquing.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from pipeline.events.figure_places import TOLD_BY_FIGURE
from pipeline.quantities.owners import is_tightened
from pipeline.quantities.weights import heaviest
from pipeline.reader.reading import FIGURE_EVENT, FIGURE_OWNER, UNRELATED, Reading, behind, step
from pipeline.records import Event, Quantity, Token
from pipeline.tokens import sentence_numbers

_BACK, _ON = 60, 30
_NEAR = 20
_BUCKETS = (0, 1, 2, 3, 4, 5, 7, 9, 12, 16, 22, 30, 45)
# Figures that all parts of a list have that one verb tells of.
_SHARED = ("torque", "spanner", "duration", "temperature")
_TORQUED = ("tighten", "fit", "assemble", "connect")
# How the reason of an event begins that the figure itself tells.
_BY_FIGURE = (TOLD_BY_FIGURE, "“to a figure”")


@dataclass(frozen=True, slots=True)
class Told:
    """An event with the token that tells it and the last token of its part."""

    event: Event
    verb: int
    head: int


class Linker(Protocol):
    """Anything that answers with which of the events near it a figure was said: from 1 on, 0 for none.

    `rows`: what speaks for none, and for each of the events.
    """

    def __call__(self, qty: Quantity, events: Sequence[Event], rows: Sequence[Sequence[str]]) -> int:
        """The index of the row that is chosen."""


def by_weights(qty: Quantity, events: Sequence[Event], rows: Sequence[Sequence[str]]) -> int:
    """The answer with the heaviest evidence."""
    del qty, events
    return heaviest(rows, "event")


class FigureLinks:
    """The figures and events of one text."""

    def __init__(
        self, tokens: Sequence[Token], quantities: Sequence[Quantity], told: Sequence[Told], reading: Reading | None
    ) -> None:
        self._starts = [token.start_word for token in tokens]
        self._told, self._reading = told, reading
        self.figures = [qty for qty in quantities if qty.kind != "count"]
        self._sentence = sentence_numbers(tokens)

    def linked(self, choose: Linker) -> list[Event]:
        """The events with their figures, and with the action that a torque makes of them."""
        chosen: list[int | None] = []
        for qty in self.figures:
            near = self.candidates(qty)
            if qty.kind == "torque":
                near = [index for index in near if not self._still_to_come(qty, index)]
            best = choose(qty, [self._told[index].event for index in near], self.rows(qty, near))
            told = self._of_its_own(qty, near, near[best - 1] if best else None)
            chosen.append(self._with_stage_before(len(chosen), chosen, told))
        own: dict[int, list[str]] = {}
        kinds: dict[int, set[str]] = {}
        for place, qty in enumerate(self.figures):
            told = chosen[place]
            told = self._beside(place, chosen) if told is None else told
            if told is None:
                continue
            for index in self._together(qty, told) if qty.kind in _SHARED else [told]:
                own.setdefault(index, []).append(qty.id)
                kinds.setdefault(index, set()).add(qty.kind)
        return [
            replace(told.event, action=_action(told.event, kinds.get(k, ())), quantities=tuple(own.get(k, ())))
            for k, told in enumerate(self._told)
        ]

    def _together(self, qty: Quantity, chosen: int) -> list[int]:
        """The events that the same word tells of other parts of a list; what the figure itself tells is only told of
        what it belongs to."""
        one = self._told[chosen]
        start, end = self.span(qty)
        if start <= one.verb < end and self._names(qty, chosen):
            return [chosen]
        return [
            index for index, other in enumerate(self._told)
            if (other.verb, other.event.action, other.event.status) == (one.verb, one.event.action, one.event.status)
        ]  # fmt: skip

    def _still_to_come(self, qty: Quantity, index: int) -> bool:
        """Whether an event is told only in a sentence behind the figure: no torque is of a part not yet named."""
        told, (at, end) = self._told[index], self.span(qty)
        if self._names(qty, index):
            return False  # "sorry, that's the pump bolts"
        first = told.head if at <= told.verb < end else min(told.verb, told.head)
        return first > at and self._sentence[first] > self._sentence[at]

    def _of_its_own(self, qty: Quantity, near: Sequence[int], chosen: int | None) -> int | None:
        """The event of what a torque belongs to, where one is told near it; else `chosen`."""
        if (
            qty.kind != "torque"
            or not qty.subject
            or not is_tightened(qty.subject)
            or (chosen is not None and (self._names(qty, chosen) or self._by_a_verb(qty, chosen)))
        ):
            return chosen
        start = self.span(qty)[0]
        own = [
            index for index in near
            if self._names(qty, index) and self._told[index].event.action in (*_TORQUED, "torque")
            and self._is_beside(qty, start, index)
        ]  # fmt: skip
        return min(own, key=lambda index: abs(self._told[index].head - start), default=chosen)

    def _by_a_verb(self, qty: Quantity, index: int) -> bool:
        """ "the cap is on with four screws and those are torqued to 25": the verb says of what."""
        told = self._told[index]
        why = told.event.why
        verb = told.event.action in ("torque", "tighten") and why.startswith("“") and not why.startswith(_BY_FIGURE)
        return verb and self._sentence[told.verb] == self._sentence[self.span(qty)[0]]

    def _with_stage_before(self, place: int, chosen: Sequence[int | None], told: int | None) -> int | None:
        """ "twenty, then thirty, then forty four": one torquing, though each figure could tell one of its own."""
        before = chosen[-1] if chosen else None
        if told is None or before is None or told == before:
            return told
        qty, stage = self.figures[place], self.figures[place - 1]
        (start, end), first = self.span(qty), self.span(stage)[0]
        alike = qty.kind == stage.kind == "torque" and qty.subject == stage.subject
        told_by_itself = start <= self._told[told].verb < end
        same = self._told[told].event.part == self._told[before].event.part
        return before if alike and told_by_itself and same and self._sentence[start] == self._sentence[first] else told

    def _is_beside(self, qty: Quantity, figure: int, index: int) -> bool:
        """Whether an event is told in a figure's sentence or the ones beside it, or a few words before."""
        told = self._told[index]
        last = max(told.verb, told.head)
        named = told.head if self._starts[told.head] == qty.subject_word else last
        return abs(self._sentence[figure] - self._sentence[named]) <= 1 or 0 <= figure - last <= _NEAR

    def _names(self, qty: Quantity, index: int) -> bool:
        """Whether a figure belongs to the very word that names an event's part, or to a part of that name."""
        told = self._told[index]
        named = qty.subject_word is not None and self._starts[told.head] == qty.subject_word
        return named or qty.subject.lower() == told.event.part.lower()

    def _beside(self, place: int, chosen: Sequence[int | None]) -> int | None:
        """The event of the figure beside it of which a figure tells the limit, what is wanted or what was found."""
        qty = self.figures[place]
        for other in (place - 1, place + 1):
            if not 0 <= other < len(self.figures) or chosen[other] is None:
                continue
            beside = self.figures[other]
            here, there = self.span(qty)[0], self.span(beside)[0]
            if beside.kind != qty.kind or qty.role == beside.role or self._sentence[here] != self._sentence[there]:
                continue
            if not qty.subject or not beside.subject or qty.subject == beside.subject:
                return chosen[other]
        return None

    def span(self, qty: Quantity) -> tuple[int, int]:
        """The tokens of a figure, half-open."""
        return bisect_left(self._starts, qty.start_word), bisect_left(self._starts, qty.end_word)

    def candidates(self, qty: Quantity) -> list[int]:
        """Indexes of the events told near a figure."""
        start, end = self.span(qty)
        return [
            index for index, told in enumerate(self._told)
            if start - _BACK <= told.verb < end + _ON or start - _BACK <= told.head < end + _ON
        ]  # fmt: skip

    def rows(self, qty: Quantity, near: Sequence[int]) -> list[list[str]]:
        """What speaks for no event, and for each of those near, as names of evidence."""
        start, end = self.span(qty)
        events = [self._read(FIGURE_EVENT, start, self._told[index].verb) for index in near]
        owners = [self._read(FIGURE_OWNER, start, self._told[index].head) for index in near]
        rows = [list(self._evidence(qty, index, near, start, end)) for index in near]
        for row, score, owner in zip(rows, events, owners, strict=True):
            row += _read_names("told", score, max(events)) + _read_names("owner", owner, max(owners))
        none = ["none", f"none {qty.kind}"]
        if near and max(events) > UNRELATED:
            none += [f"none told better than {step(max(events))}", f"none owned better than {step(max(owners))}"]
        if not qty.subject:
            none.append("none, of nothing")
        return [none, *rows]

    def _read(self, role: int, figure: int, at: int) -> float:
        return self._reading.pairs.score(role, figure, at) if self._reading is not None else UNRELATED

    def _evidence(self, qty: Quantity, index: int, near: Sequence[int], start: int, end: int) -> Iterator[str]:
        told = self._told[index]
        event = told.event
        yield f"{qty.kind} {event.action}"
        yield f"status {event.status}"
        yield f"{qty.kind} status {event.status}"
        for name, at in (("verb", told.verb), ("head", told.head)):
            side, away = ("before", start - at) if at < start else ("after", max(0, at - end + 1))
            yield f"{name} {side} {next((bound for bound in _BUCKETS if away <= bound), 99)}"
            yield f"{name} {side}, {min(3, abs(self._sentence[start] - self._sentence[at]))} sentences"
        others = [self._told[other].verb for other in near if other != index]
        low, high = sorted((told.verb, start))
        yield f"past {min(3, len({verb for verb in others if low < verb < high}))} events"
        if event.start_word <= qty.start_word < event.end_word:
            yield "quoted"
            yield f"{qty.kind} quoted"
        yield from self._owned(qty, event, near)

    def _owned(self, qty: Quantity, event: Event, near: Sequence[int]) -> Iterator[str]:
        """Whether the figure belongs to what the event is about."""
        if not qty.subject:
            return
        own = {name.lower() for name in (event.part, event.fluid) if name}
        same = qty.subject.lower() in own
        alike = any(name.split()[-1] == qty.subject.lower().split()[-1] for name in own)
        relation = "its own" if same else "much like its own" if alike else "of another"
        yield relation
        yield f"{qty.kind} {relation}"
        if same and sum(qty.subject.lower() == self._told[other].event.part.lower() for other in near) == 1:
            yield "only its own"


def _action(event: Event, kinds: Collection[str]) -> str:
    """What a torque makes of a tightening; "not torqued yet", without a figure, is only not tightened."""
    if "torque" in kinds and event.action in _TORQUED:
        return "torque"
    return "tighten" if event.action == "torque" and event.status == "negated" and not kinds else event.action


def _read_names(name: str, score: float, best: float) -> list[str]:
    if best == UNRELATED:
        return []
    return [f"{name} read {step(score)}", f"{name} behind {behind(score, best)}"]
