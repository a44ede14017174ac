"""Two different figures for the same thing in one build: one of them is wrong, or was heard wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pipeline.build.recordings import Build, BuiltRecording
from pipeline.quantities import format_quantity
from pipeline.records import Event, Finding, Quantity
from pipeline.render.same_part import fuller_names
from pipeline.times import ms_to_clock
from pipeline.vocabulary import Term, Vocabulary

# Kinds of which a thing has one, and which are set rather than only measured.
_SETTINGS = ("torque", "clearance", "pressure", "viscosity", "volume", "teeth")
# A volume counts where the thing was filled from empty: what is topped up or drained may be any amount.
_VOLUME_ACTIONS = ("fill",)
# What is measured, tested or taken out need not be what the thing is set to.
_NO_SETTING_ACTIONS = ("measure", "test", "inspect", "drain", "remove", "dismantle", "slacken", "clean", "disconnect")
_STATUSES = ("done", "provisional", "planned")
_TOLERANCE = 0.03  # the same figure said in another unit is rounded
_TOLERANCE_ABOUT = 0.10  # "about", "or so"
_STAGES_MS = 120_000  # a joint is tightened in stages within a short time, each higher than the one before


@dataclass(frozen=True, slots=True)
class _Said:
    """A figure of one thing, where it was said, and its lowest and highest value on one scale."""

    recording: BuiltRecording
    qty: Quantity
    event: Event | None
    low: float
    high: float


_Thing = tuple[str, ...]


def differing_figures(build: Build, vocabulary: Vocabulary) -> Iterator[tuple[BuiltRecording, Finding]]:
    """One finding for each figure that no earlier one of the same thing agrees with, at its place."""
    terms = {spelling: term for term in vocabulary.terms for spelling in (*term.spellings, term.plural)}
    found = [pair for recording in build.recordings for pair in _said_in(recording, terms)]
    fuller = fuller_names(thing[0] for thing, _ in found)
    things: dict[_Thing, list[_Said]] = {}
    for thing, said in found:
        # "the clutch nut" of the third day is the clutch centre nut of the second
        things.setdefault((fuller.get(thing[0], thing[0]), *thing[1:]), []).append(said)
    for figures in things.values():
        last = _last_stages(figures)
        for place, later in enumerate(last):
            # Once two figures are known to differ, a third that repeats one of them tells nothing new.
            if place and not any(_agree(earlier, later) or _told_together(earlier, later) for earlier in last[:place]):
                yield later.recording, _finding(last[place - 1], later)


def _said_in(recording: BuiltRecording, terms: dict[str, Term]) -> Iterator[tuple[_Thing, _Said]]:
    log = recording.log
    users = {key: event for event in log.events for key in event.quantities}
    for qty in log.quantities:
        event = users.get(qty.id)
        if qty.kind not in _SETTINGS or (event and not _is_setting(event, qty)) or (qty.kind == "volume" and not event):
            continue
        part = _part(event, qty, terms)
        term = terms.get(part)
        fluid = event.fluid if event and qty.kind in ("volume", "viscosity") else ""
        assembly = (event.assembly if event else "") or (term.part_of if term else "")
        if not part or _is_plain_hardware(term):
            continue
        side, position = (event.side, event.position) if event else (qty.side, qty.position)
        name = term.name if term else part
        scale = qty.si_unit if qty.si_value is not None else qty.unit
        yield (name, qty.kind, scale, side, position, assembly, fluid, qty.thread), _measured(recording, qty, event)


def _part(event: Event | None, qty: Quantity, terms: dict[str, Term]) -> str:
    """What the figure is of: the part of the work, unless the figure names another ("points are fifteen thou")."""
    if event is None or not event.part:
        return qty.subject
    subject, part = terms.get(qty.subject), terms.get(event.part)
    other = subject is not None and part is not None and subject.kind == part.kind == "part" and subject != part
    return qty.subject if other and qty.kind != "volume" else event.part


def _is_setting(event: Event, qty: Quantity) -> bool:
    if event.status not in _STATUSES or event.applicability:
        return False
    return event.action in _VOLUME_ACTIONS if qty.kind == "volume" else event.action not in _NO_SETTING_ACTIONS


def _is_plain_hardware(term: Term | None) -> bool:
    """A "bolt" or a "nut" alone may be any of many, so two figures of it do not contradict each other."""
    return term is not None and (term.kind == "fastener" or term.part_of == "hardware") and term.pack == "fasteners"


def _measured(recording: BuiltRecording, qty: Quantity, event: Event | None) -> _Said:
    """All readings of a doubtful figure count: it contradicts another only if none of them fits."""
    if qty.si_value is not None:
        factor = qty.si_value / qty.value if qty.value else 1.0
        ends = [qty.si_value, qty.si_high if qty.si_high is not None else qty.si_value]
    else:
        factor, ends = 1.0, [qty.value, qty.high if qty.high is not None else qty.value]
    ends += [reading * factor for reading in qty.other_readings]
    return _Said(recording, qty, event, min(ends), max(ends))


def _last_stages(figures: list[_Said]) -> list[_Said]:
    """Without the first stages of a joint tightened in stages, and without a figure that the next one repeats."""
    kept: list[_Said] = []
    for said in figures:
        before = kept[-1] if kept else None
        if (
            before is not None
            and before.recording.slug == said.recording.slug
            and said.qty.start_ms - before.qty.start_ms <= _STAGES_MS
            and said.low >= before.high
        ):
            kept.pop()
        kept.append(said)
    return kept


def _told_together(earlier: _Said, later: _Said) -> bool:
    """ "The big one is fifty teeth and the small one thirty six": of two that were told of in one breath."""
    return earlier.event is not None and earlier.event is later.event and later.qty.kind == "teeth"


def _agree(earlier: _Said, later: _Said) -> bool:
    about = earlier.qty.approximate or later.qty.approximate
    slack = (_TOLERANCE_ABOUT if about else _TOLERANCE) * max(abs(earlier.high), abs(later.high))
    bounds = {earlier.qty.bound, later.qty.bound} - {""}
    return bool(bounds) or (earlier.low <= later.high + slack and later.low <= earlier.high + slack)


def _finding(earlier: _Said, later: _Said) -> Finding:
    event = later.event
    words = (later.qty.position, later.qty.side, event.part if event and event.part else later.qty.subject)
    if event:
        words = (event.position, event.side, words[2])
    where = f"at {ms_to_clock(earlier.qty.start_ms)}"
    if earlier.recording.slug != later.recording.slug:
        where = f"in {earlier.recording.slug} {where}"
    message = (
        f"two figures for the {' '.join(filter(None, words))}: {format_quantity(later.qty)} here, "
        f"{format_quantity(earlier.qty)} {where}; listen to both and check the maker's manual"
    )
    return Finding("check", "figures_differ", message, later.qty.start_ms)
