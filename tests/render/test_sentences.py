"""Sentences, names and places: what a mechanic would write, in either spelling, and never more than was said."""

from __future__ import annotations

import doctest
from dataclasses import replace
from typing import Any, get_args

import pytest

from pipeline.log import SCHEMA_PATH
from pipeline.records import BuildLog, Event, Quantity, Recording, Spelling, Status
from pipeline.render import inert, page_context, spelling
from pipeline.render.documents import whole
from pipeline.render.figures import KIND_TITLES, figures_of
from pipeline.render.sentences import ACTIONS, LOOSE_ENDS, STATUSES, full_sentence, sentence
from pipeline.render.spelling import AMERICAN, Names, in_spelling, plural_of
from pipeline.render.timeline import ROWS
from tests.render.penhallow import EVENTS, VOCABULARY, WORDS

_BLANK = replace(EVENTS[0], part="", status="done", quantities=(), said="", assembly="")


def _event(action: str, part: str, status: Status = "done", **more: Any) -> Event:
    return replace(_BLANK, action=action, part=part, status=status, **more)


def _qty(key: str, kind: str, value: float, unit: str, **more: Any) -> Quantity:
    return Quantity(key, kind, value, more.pop("high", None), unit, False, "", 0, 1, 0, **more)


_QUANTITIES = (
    _qty("q1", "torque", 25, "N·m"),
    _qty("q2", "angle", 90, "deg"),
    _qty("q3", "volume", 1.2, "L"),
    _qty("q4", "clearance", 0.1, "mm", high=0.15),
    _qty("q5", "length", 52.02, "mm"),
    _qty("q6", "spanner", 19, "mm"),
    _qty("q7", "torque", 50, "N·m", other_readings=(15.0,)),
    _qty("q8", "viscosity", 10, "SAE"),
)

# One line a sentence: the event, and how it must read.
_SENTENCES = [
    (_event("fit", "circlip", condition="new", count=2), "Fitted new circlips (2)"),
    (_event("fit", "circlip", count=1), "Fitted circlip"),
    (_event("fit", "circlip", said="the circlips are in"), "Fitted circlips"),
    (_event("fit", "brake shoe", position="front", side="left"), "Fitted front left brake shoe"),
    (_event("fit", "rear brake shoe", position="rear"), "Fitted rear brake shoe"),
    (_event("lubricate", "back pivot", position="rear"), "Lubricated back pivot"),
    (_event("fit", "drain plug", finish="zinc plated"), "Fitted drain plug, zinc plated"),
    (_event("fit", "", said="that's in"), "Fitted"),
    (_event("renew", "base gasket", "planned"), "To do: renew base gasket"),
    (_event("torque", "cylinder head nut", count=4, quantities=("q1", "q2")),
     "Torqued cylinder head nuts (4) to 25 N·m and 90°"),
    (_event("torque", "cylinder head nut", quantities=("q7",)),
     "Torqued cylinder head nut to 50 N·m or 15 N·m (doubtful)"),
    (_event("tighten", "drain plug", "provisional", quantities=("q6",)), "For now: tightened drain plug"),
    (_event("slacken", "drain plug", "past"), "Earlier: slackened drain plug"),
    (_event("fill", "gearbox", fluid="gear oil", quantities=("q3", "q8")), "Filled gearbox with 1.2 L of gear oil"),
    (_event("fill", "gearbox", quantities=("q3",)), "Filled gearbox with 1.2 L"),
    (_event("fill", "fork oil", quantities=("q3",)), "Filled with 1.2 L of fork oil"),
    (_event("fill", "inner tube"), "Inflated inner tube"),
    (_event("fill", "tyre", "planned"), "To do: inflate tyre"),
    (_event("fill", "tyre", fluid="sealant"), "Filled tyre with sealant"),
    (_event("top_up", "fork oil", "advised", fluid="fork oil"), "Advice: top up fork oil"),
    (_event("drain", "gearbox", fluid="gear oil"), "Drained gear oil from gearbox"),
    (_event("drain", "gear oil", fluid="gear oil", quantities=("q3",)), "Drained 1.2 L of gear oil"),
    (_event("drain", "gear oil", "negated"), "Not done: drain gear oil"),
    (_event("lubricate", "brake cam", fluid="copper grease"), "Lubricated brake cam with copper grease"),
    (_event("measure", "bore", quantities=("q5",)), "Measured bore at 52.02 mm"),
    (_event("adjust", "valve", quantities=("q4",)), "Adjusted valve to 0.1–0.15 mm"),
    (_event("inspect", "valve", quantities=("q6",)), "Inspected valve"),
    (_event("coat", "side panel", finish="painted gloss black"), "Painted side panel gloss black"),
    (_event("coat", "frame", finish="powder coated satin black"), "Powder coated frame satin black"),
    (_event("coat", "frame", finish="gloss black"), "Coated frame: gloss black"),
    (_event("coat", "frame", "planned", finish="painted red"), "To do: coat frame: painted red"),
    # the speaker's own verb where it says more than that of its class
    (_event("machine", "bore", why="“hone” means machine; told by the speaker"), "Honed bore"),
    (_event("machine", "bore", "negated", why="“rebore” means machine; am not going to"), "Not done: rebore bore"),
    (_event("repair", "plug", why="the words around “soldered” were read as repair"), "Soldered plug"),
    (_event("adjust", "ring", why="“gap” means adjust; told by the speaker", quantities=("q4",)),
     "Gapped ring to 0.1–0.15 mm"),
    (_event("machine", "bore", why="“machine” means machine; last winter"), "Machined bore"),
    (_event("fit", "bore", why="“hone” means machine; told by the speaker"), "Fitted bore"),
    (_event("fit", "both gaskets", condition="new"), "Fitted both new gaskets"),
    (_event("fit", "brake pad", condition="new", side="both"), "Fitted new brake pad, both sides"),
]  # fmt: skip


@pytest.mark.parametrize(("event", "text"), _SENTENCES, ids=[text for _, text in _SENTENCES])
def test_sentence(event: Event, text: str) -> None:
    log = BuildLog(Recording("a", 0, ""), WORDS, quantities=_QUANTITIES, events=(event,))
    body = sentence(event, figures_of(log), Names.of(VOCABULARY, "british"))
    assert full_sentence(event, body) == text


def test_no_line_breaks_between_a_number_and_its_unit() -> None:
    quantities = (_QUANTITIES[0], _QUANTITIES[6], _qty("q9", "thread", 0, "", thread="span"))
    log = BuildLog(Recording("a", 0, ""), WORDS, quantities=quantities)
    figures = figures_of(log).values()
    assert whole("<b> to 25 N·m", figures) == '&lt;b&gt; to <span class="fig">25 N·m</span>'
    assert whole("50 N·m or 15 N·m (doubtful)", figures) == (
        '<span class="fig">50 N·m</span> or <span class="fig">15 N·m</span> (doubtful)'
    )
    assert whole("class span", figures) == 'class <span class="fig">span</span>'
    assert whole("a & b", ()) == "a &amp; b"


def test_every_action_status_and_kind_has_its_words() -> None:
    """What the schema of log.json allows, the documents can say."""
    import json

    definitions = json.loads(SCHEMA_PATH.read_text())["$defs"]
    actions = set(definitions["event"]["properties"]["action"]["enum"])
    assert set(ACTIONS) == actions
    assert sorted(action for _, _, drawn in ROWS for action in drawn) == sorted(actions)
    assert set(STATUSES) == set(get_args(Status))
    assert set(KIND_TITLES) == set(definitions["quantity"]["properties"]["kind"]["enum"]) - {"count"}
    assert set(LOOSE_ENDS) == set(definitions["loose_end"]["properties"]["kind"]["examples"])


def test_every_action_in_every_status_says_what_it_is() -> None:
    names = Names.of(VOCABULARY, "british")
    seen = set()
    for action in ACTIONS:
        for status in get_args(Status):
            event = _event(action, "drain plug", status)
            seen.add(full_sentence(event, sentence(event, {}, names)))
    assert len(seen) == len(ACTIONS) * len(STATUSES), "two different facts read the same"


@pytest.mark.parametrize(
    ("text", "spelling", "wanted"),
    [
        ("Tyres and fibre washers: 2 litres", "american", "Tires and fiber washers: 2 liters"),
        ("Tyres and fibre washers: 2 litres", "british", "Tyres and fibre washers: 2 litres"),
        ("newton-metres of the vice", "american", "newton-meters of the vise"),
        ("advice, device, service", "american", "advice, device, service"),
    ],
)
def test_spelling(text: str, spelling: Spelling, wanted: str) -> None:
    assert in_spelling(text, spelling) == wanted


def test_spelling_table_is_sorted_and_leads_nowhere_twice() -> None:
    assert list(AMERICAN) == sorted(AMERICAN)
    assert not set(AMERICAN) & set(AMERICAN.values())


def test_parts_go_by_the_readers_name() -> None:
    american = Names.of(VOCABULARY, "american")
    assert american.name("circlip", 2) == "snap rings"
    assert american.name("gudgeon pin") == "wrist pin"
    assert american.name("tyre lever", 3) == "tire levers"
    assert Names.of(VOCABULARY, "british").name("gudgeon pin") == "gudgeon pin"


def test_what_was_said_is_never_respelled() -> None:
    event = _event("fit", "tyre", said="fitted the tyre")
    log = BuildLog(Recording("a", 1000, ""), WORDS, events=(event,))
    log = replace(log, settings=replace(log.settings, spelling="american"))
    entry = page_context(log, VOCABULARY).entries[0]
    assert entry.sentence == "Fitted tire"
    assert entry.event.said == "fitted the tyre"


@pytest.mark.parametrize(
    ("tool", "details"),
    [("30 nm socket", ("With", "30 mm socket")), ("long bar", ("Spanner", "30 mm")), ("", ("Spanner", "30 mm"))],
)
def test_a_spanner_has_the_size_that_was_read(tool: str, details: tuple[str, str]) -> None:
    size = Quantity("q1", "spanner", 30, None, "mm", False, "30 Nm", 0, 2, 0)
    event = _event("tighten", "sprocket nut", tool=tool, quantities=("q1",))
    log = BuildLog(Recording("a", 1000, ""), WORDS, quantities=(size,), events=(event,))
    entry = page_context(log, VOCABULARY).entries[0]
    assert details in entry.details and not entry.extra_figures


@pytest.mark.parametrize("module", [inert, spelling])
def test_examples_in_docstrings(module: Any) -> None:
    assert doctest.testmod(module).failed == 0


def test_knives_and_teeth_have_their_own_plurals() -> None:
    assert [plural_of(part) for part in ("plunger knife", "tooth", "bevel gear", "knives")] == [
        "plunger knives", "teeth", "bevel gears", "knives",
    ]  # fmt: skip


def test_a_sentence_has_no_figure_of_another_part() -> None:
    """ "Plug's twenty five, points are fifteen": the plug is not gapped to fifteen."""
    plug = _qty("q1", "clearance", 25, "thou", subject="spark plug")
    points = _qty("q2", "clearance", 15, "thou", subject="contact breaker points")
    names = Names.of(VOCABULARY, "british")
    log = BuildLog(Recording("a", 1000, ""), WORDS, quantities=(plug, points))
    event = _event("adjust", "spark plug", quantities=("q1", "q2"))
    assert sentence(event, figures_of(log), names) == "Adjusted spark plug to 25 thou"
    alone = _event("adjust", "spark plug", quantities=("q2",))
    assert sentence(alone, figures_of(log), names) == "Adjusted spark plug to 15 thou"
