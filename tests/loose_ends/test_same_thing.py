"""Other names of one thing close what is open; the same word for another thing does not."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from pipeline.loose_ends import PartNames, close_loose_ends
from pipeline.records import Event, LooseEnd
from tests.events.scoring import finder_vocabulary

EVENT = Event("e12", "torque", "nut", "done", "", "", "", "", None, ("q1",), "", "the nut is torqued", 20, 24, 61_000)
DRAINED = LooseEnd("not_closed", "engine oil", "I've drained it", 1_000, action="fill")
LOOSE = LooseEnd("loose", "nut", "the nut is only hand tight", 1_000, action="tighten")
ORDERED = LooseEnd("waiting", "impeller kit", "I've ordered it", 1_000, action="fit")


def fill(part: str, fluid: str = "") -> Event:
    return replace(EVENT, action="fill", part=part, fluid=fluid, said="filled it", quantities=())


def fit(part: str, **fields: Any) -> Event:
    return replace(EVENT, id="e11", action="fit", part=part, start_word=14, end_word=18, quantities=(), **fields)


def is_closed(end: LooseEnd, *events: Event, around: str = "") -> bool:
    name_of = PartNames(finder_vocabulary()).name_of
    (after,) = close_loose_ends([end], events, "day-2", name_of, [around] if around else ())
    return bool(after.closed_by)


@pytest.mark.parametrize(
    ("drained", "filled", "closes"),
    [
        ("engine oil", fill("gearbox"), False),
        ("engine oil", fill("gearbox", "gear oil"), False),
        ("engine oil", fill("diff"), False),
        ("engine oil", fill("engine"), True),
        ("engine oil", fill("sump", "oil"), True),
        ("gearbox oil", fill("diff"), False),
        ("gearbox oil", fill("gearbox"), True),
        ("gearbox oil", fill("gear box"), True),
        ("diff oil", fill("gearbox"), False),
        ("diff oil", fill("differential"), True),
        ("primary chaincase oil", fill("gearbox"), False),
        ("primary chaincase oil", fill("primary"), True),
        ("sump", fill("engine", "oil"), True),
        ("sump", fill("gearbox"), False),
        ("hydraulic oil", fill("gearbox", "oil"), False),
        ("gear oil", fill("engine", "oil"), False),
        ("coolant", fill("radiator"), True),
        ("leg", fill("fork leg"), True),
        ("brake fluid", fill("reservoir", "DOT 4"), True),
        ("brake fluid", fill("reservoir", "petrol"), False),
        ("brake fluid", replace(EVENT, action="bleed", part="brake"), True),
        ("brake fluid", replace(EVENT, action="bleed", part="brake", position="front"), False),
        ("clutch fluid", replace(EVENT, action="bleed", part="brake"), False),
        ("engine oil", replace(EVENT, action="bleed", part="brake"), False),
    ],
)
def test_a_box_is_filled_by_nothing_poured_into_another(drained: str, filled: Event, closes: bool) -> None:
    assert is_closed(replace(DRAINED, part=drained), filled) == closes


def test_the_oil_is_the_gearbox_s_only_where_a_gearbox_was_talked_of() -> None:
    oil = replace(DRAINED, part="oil")
    assert not is_closed(oil, fill("gearbox", "gear oil"))
    assert is_closed(oil, fill("gearbox", "gear oil"), around="I've drained it gearbox cover")
    assert is_closed(oil, fill("engine"))


@pytest.mark.parametrize(
    ("promised", "done", "closes"),
    [
        ("adjust", "inspect", False), ("adjust", "measure", False), ("adjust", "test", False),
        ("adjust", "align", True),
        ("align", "measure", False), ("align", "adjust", True), ("inspect", "adjust", True),
        ("measure", "inspect", True),
        ("bleed", "test", False), ("repair", "renew", True), ("repair", "clean", False),
    ],
)  # fmt: skip
def test_looking_at_it_is_not_doing_it(promised: str, done: str, closes: bool) -> None:
    end = LooseEnd("promised", "tappet", "I'll do that tomorrow", 1_000, action=promised)
    assert is_closed(end, replace(EVENT, action=done, part="tappet")) == closes


def test_a_new_one_in_its_place_is_as_good_as_a_repair() -> None:
    end = LooseEnd("promised", "starter rope", "frayed, I'll do that later", 1_000, action="repair")
    assert is_closed(end, fit("starter rope", condition="new"))
    assert not is_closed(end, fit("starter rope"))


@pytest.mark.parametrize(
    ("part", "around", "events", "closes"),
    [
        ("nut", "flywheel's back on but the nut's only hand tight", (fit("flywheel"), EVENT), True),
        ("nut", "flywheel's back on but the nut's only hand tight", (fit("front sprocket"), EVENT), False),
        ("nut", "the nuts are finger tight rear sprocket", (replace(EVENT, part="rear sprocket nut"),), True),
        ("nut", "the nuts are finger tight rear sprocket", (replace(EVENT, part="flywheel nut"),), False),
        ("caliper bolt", "", (fit("caliper"), replace(EVENT, part="bolt")), True),
        ("caliper bolt", "", (fit("mudguard"), replace(EVENT, part="bolt")), False),
        ("tailstock clamp bolt", "",
         (replace(EVENT, part="bolt", said="The bolt on the tailstock clamp is torqued"),), True),
        ("tailstock clamp bolt", "", (replace(EVENT, part="bolt", said="The bolt on the vice is torqued"),), False),
        ("drain plug", "the drain plug is hand tight on the engine",
         (replace(fill("gearbox"), start_word=14, end_word=17), replace(EVENT, part="drain plug")), False),
        ("drain plug", "the drain plug is hand tight on the engine", (replace(EVENT, part="drain plug"),), True),
        ("engine drain plug", "", (replace(EVENT, part="gearbox drain plug"),), False),
        ("spindle nut", "swinging arm's in, the spindle nut is finger tight",
         (fit("rear wheel"), replace(EVENT, part="spindle nut")), False),
        ("track rod end nut", "",
         (replace(EVENT, part="track rod end nut", said="Track rod end nut on the other side, fifty"),), False),
        ("track rod end nut", "", (replace(EVENT, part="track rod end nut"),), True),
    ],
)  # fmt: skip
def test_whose_bolt_a_bolt_is(part: str, around: str, events: tuple[Event, ...], closes: bool) -> None:
    assert is_closed(replace(LOOSE, part=part), *events, around=around) == closes


def test_what_hung_loosely_is_on_once_its_own_bolts_are_tight() -> None:
    hung = LooseEnd("provisional", "exhaust", "The exhaust is just hung on there", 1_000, action="fit")
    assert is_closed(hung, replace(EVENT, part="exhaust clamp"))
    assert not is_closed(hung, replace(EVENT, part="silencer clamp"))
    assert not is_closed(replace(hung, said="an old exhaust till mine comes"), replace(EVENT, part="exhaust clamp"))


@pytest.mark.parametrize(
    ("ordered", "said", "fitted", "closes"),
    [
        ("impeller kit", "", "impeller", True),
        ("carburettor repair kit", "", "carburettor", True),
        ("carburettor repair kit", "", "repair kit", True),
        ("gasket set", "", "chain", False),
        ("plug", "the plugs are shot, so I've ordered a pair", "spark plug", True),
        ("plug", "I've ordered a plug for it", "spark plug", False),
        ("plug", "the plugs are shot, so I've ordered a pair", "drain plug", False),
    ],
)
def test_what_came_in_a_kit(ordered: str, said: str, fitted: str, closes: bool) -> None:
    assert is_closed(replace(ORDERED, part=ordered, said=said or ORDERED.said), fit(fitted)) == closes
