"""What a figure is of may be a noun that no vocabulary has: the reader points at it."""

from __future__ import annotations

import pytest

from pipeline.records import Settings
from tests.quantities.sayings import find_in

# sentence, what its figures are of; invented
OWNERS = [
    ("Transmission lines, those are a five eighths line wrench.", ["transmission line"]),
    ("I lost maybe half a pint of the pink fluid on the floor.", ["pink fluid"]),
    ("The start winding's eleven ohms and the run winding's three point two ohms.", ["start winding", "run winding"]),
    ("Journal on the end is five-eighths.", ["journal"]),
    ("third gear dogs are rounded off i've lost maybe forty thou off them", ["third gear dog"]),
]


@pytest.mark.parametrize(("said", "owners"), OWNERS)
def test_nouns_outside_the_vocabulary_own_their_figures(said: str, owners: list[str]) -> None:
    assert [qty.subject for qty in find_in(said, Settings())] == owners


def test_no_word_that_names_nothing_owns_a_figure() -> None:
    found = find_in("number one inlet's 0.2 mm that's fine and it's about 0.3 mm now", Settings())
    assert "fine" not in {qty.subject for qty in found}
    assert not {qty.subject for qty in found} & {"it", "that", "about", "now"}
