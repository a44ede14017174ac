"""Which rows of a parts list are one part that is called for short."""

from __future__ import annotations

import pytest

from pipeline.render.same_part import Row, SameParts, fuller_names, last_of
from pipeline.vocabulary import load_vocabulary

SAME = SameParts(load_vocabulary())


def row(name: str, second: int, day: int = 1, **fields: object) -> Row:
    own: dict[str, object] = {"side": "", "position": "", "assembly": "Clutch", "condition": "", "number": "",
                              "several": False}  # fmt: skip
    return Row(name, places=((day, second * 1000),), **{**own, **fields})  # type: ignore[arg-type]


# Two rows and whether the second is the first one's part by a shorter name.
CASES: dict[str, tuple[Row, Row, bool]] = {
    "named in full before": (row("clutch cable", 10), row("cable", 22), True),
    "named in full right after": (row("clutch cable", 12), row("cable", 10), True),
    "only where it was snapped": (row("clutch cable", 12), row("cable", 10, position="bottom"), True),
    "the only one of its assembly": (row("clutch spring", 10, several=True), row("spring", 90, 2, several=True), True),
    "a middle word left out": (row("clutch centre nut", 10), row("clutch nut", 90, 3), True),
    "the front one": (row("spindle nut", 10, position="front"), row("spindle nut", 90, 2), True),
    "the front one, before": (
        row("brake cable", 10, position="front", assembly="Brakes"), row("brake cable", 12, assembly="Controls"), True,
    ),
    "under another heading": (row("clutch drum", 10), row("drum", 20, assembly="Brakes"), False),
    "another time": (row("clutch cable", 10), row("cable", 90, 2, assembly="Controls"), False),
    "new and old": (row("clutch cable", 10, condition="new"), row("cable", 12, condition="original"), False),
    "any nut": (row("clutch centre nut", 10), row("nut", 12), False),
    "several of one": (row("rack spring", 10), row("spring", 15, several=True), False),
    "the other side": (row("wheel bearing", 10, side="left"), row("wheel bearing", 12, side="right"), False),
    "of two the front one comes later": (
        row("derailleur", 20, position="front"), row("derailleur", 10), False,
    ),
    "another thing": (row("clutch cable", 10), row("clutch", 12), False),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_called_for_short(case: str) -> None:
    full, short, same = CASES[case]
    assert SAME.fuller([full, short]) == ({1: 0} if same else {})


def test_which_of_two_nobody_knows() -> None:
    rows = [row("clutch plate", 10, several=True), row("friction plate", 12, several=True), row("plate", 15)]
    assert SAME.fuller(rows) == {}


def test_the_fullest_name_of_all() -> None:
    rows = [row("cable", 10), row("clutch cable", 12), row("new-pattern clutch cable", 14)]
    fuller = SAME.fuller(rows)
    assert {last_of(at, fuller) for at in range(3)} == {2}


def test_names_that_say_what_they_are_of() -> None:
    assert [SAME.is_own(name) for name in ("relief valve", "impeller", "thermostat")] == [True] * 3
    assert [SAME.is_own(name) for name in ("drum", "cover", "thrust washer")] == [False] * 3


def test_one_longer_name() -> None:
    names = ["clutch nut", "clutch centre nut", "nut", "positive lead", "positive battery lead", "plug lead"]
    assert fuller_names(names) == {"clutch nut": "clutch centre nut", "positive lead": "positive battery lead"}
    assert fuller_names([*names, "clutch hub nut"]) == {"positive lead": "positive battery lead"}, "one of two"
