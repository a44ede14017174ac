"""What a recording's first words call the machine, and what they only speak of."""

from __future__ import annotations

import pytest

from pipeline.chapters import said_machine
from pipeline.vocabulary import load_vocabulary

VOCABULARY = load_vocabulary()


@pytest.mark.parametrize(
    ("said", "name", "sort"),
    [
        ("Morning. This is the Tamsin 90 outboard, and it's the leg today.", "Tamsin 90 outboard", "outboard"),
        ("So the Penhallow one seventy five. It's the single, and it smokes.", "Penhallow 175", "single"),
        ("Still on the mill, the Brannock 2V. The head's done.", "Brannock 2V", "mill"),
        ("Right, it's the old Brannock pillar drill, and it screams.", "Brannock pillar drill", "pillar drill"),
        ("Brannock 1300, the saloon. Brakes.", "Brannock 1300", "saloon"),
        ("Okay this is a four cylinder diesel van that smokes.", "", "van"),
        # nobody presents a machine in these
        ("Where's the bike pump. I had it off a tractor once.", "", ""),
        ("It sounds like a lathe, and I keep it in a van.", "", ""),
        ("Hello, Gwil here. Adjusters I will do first. Tuesday 14 it was.", "", ""),
        ("The rollers are off. The trucks are missing altogether, the little wheels.", "", ""),
        ("Molloys' car was here, and a different bike.", "", "car"),
    ],
)
def test_the_machine_is_what_it_is_introduced_as(said: str, name: str, sort: str) -> None:
    found = said_machine(said.split(), VOCABULARY)
    assert found.name == name
    assert found.words[:1] == ((sort,) if sort else ())
