"""The spelling in which a speaker would read his log, by the names that he uses."""

import pytest

from pipeline.vocabulary import load_vocabulary, spoken_spelling


@pytest.mark.parametrize(
    ("said", "spelling"),
    [
        ("Put the rotor on, then the parking brake cable, and the lug nuts with a wrench. Gasoline next.", "american"),
        ("Put the disc on, then the handbrake cable, and the wheel nuts with a spanner. Petrol next.", "british"),
        # how a recogniser spells tells nothing, and a word or two are everybody's
        ("The tires are on, the gray carburetor is in, and the aluminum cover, colored.", "british"),
        ("The lug nuts go on with a wrench, the bonnet is off and the petrol is out, spanner please.", "british"),
        ("", "british"),
    ],
)
def test_spoken_spelling(said: str, spelling: str) -> None:
    assert spoken_spelling(said.split(), load_vocabulary()) == spelling
