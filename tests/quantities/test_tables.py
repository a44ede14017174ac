"""The tables of units and cues: closed, without doubles, every word of them used."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from pipeline.numbers.words import NUMBER_WORDS, word_set
from pipeline.quantities.units import IGNORED, declared, figures_data, product, unit_table
from pipeline.records import Settings

# The kinds and the canonical spellings of units that log.json promises.
KINDS = word_set(
    "volume torque pressure length clearance thread spanner angle viscosity temperature duration mass voltage current "
    "resistance speed count ratio percentage grit teeth"
)
UNITS = word_set(
    "mL L fl_oz_US fl_oz_imp pt_US pt_imp qt_US qt_imp gal_US gal_imp N·m lbf·ft lbf·in kgf·m kgf·cm psi bar kPa mm cm "
    "m in thou µm deg turn SAE wt °C °F s min h d g kg lb oz V A Ω rpm km/h mph"
)


def test_units_are_those_that_are_promised() -> None:
    table = unit_table()
    undeclared = set(table.undeclared)
    assert set(table.units) - undeclared - {"%", "grit", "teeth"} == UNITS
    assert {unit.kind for unit in table.units.values()} <= KINDS


def test_no_alias_stands_twice_with_two_meanings() -> None:
    meanings: dict[tuple[tuple[str, ...], str], set[str]] = {}
    for group in unit_table().aliases.values():
        for alias in group:
            meanings.setdefault((alias.words, alias.raw), set()).add(alias.target)
    doubles = {words: targets for words, targets in meanings.items() if len(targets) > 1}
    assert not doubles


def test_aliases_are_no_number_words() -> None:
    assert not [words for words in unit_table().aliases if words in NUMBER_WORDS - {"o"}]


def test_undeclared_units_have_both_readings() -> None:
    table = unit_table()
    for name, entry in table.undeclared.items():
        assert table.units[entry["imperial"]].kind == table.units[entry["us"]].kind == "volume"
        assert declared(name, Settings()) == (entry["imperial"], False)
        assert declared(name, Settings(units="us")) == (entry["us"], True)


def test_every_reading_of_a_choice_is_a_unit() -> None:
    table = unit_table()
    known = {
        *table.units,
        "temperature",
        "money",
        "tenth of a millimetre",
        "tenth of a thou",
        "tenth of a volt",
        "tenth of an ohm",
        "kilohm",
        "distance",
        "force",
        "doubtful tenth",
        "",
        IGNORED,
    }
    for choice in table.choices.values():
        targets = {key for key, value in choice.items() if isinstance(value, list)} - {"said", "written", "american_mm"}
        assert {*targets, choice["otherwise"], choice.get("american", "")} <= known


@pytest.mark.parametrize("name", ["context", "choices", "counted"])
def test_no_cue_stands_twice_in_a_list(name: str) -> None:
    lists: list[tuple[str, Any]] = [(name, figures_data(name))]
    faults: list[str] = []
    while lists:
        place, value = lists.pop()
        if isinstance(value, dict):
            lists.extend((f"{place}.{key}", item) for key, item in value.items())
        elif isinstance(value, list):
            faults += [f"{place}: {word!r}" for word, count in Counter(value).items() if count > 1]
            faults += [
                f"{place}: {word!r} is not lower case" for word in value if word.lower() != word and len(word) > 1
            ]
    assert [fault for fault in faults if "one_of" not in fault] == []


def test_a_product_of_decimals_is_exact() -> None:
    assert float(product("0.45359237*9.80665*0.3048")) == 1.3558179483314004
    assert float(product("5/9")) == 5 / 9
