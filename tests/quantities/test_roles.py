"""What a figure is beside others (found, wanted, a limit, of the old part), and units that nobody said."""

from __future__ import annotations

import pytest

from pipeline.quantities import attach_quantities, find_quantities
from pipeline.records import Quantity, Settings
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import load_vocabulary

VOCABULARY = load_vocabulary()


def figures(said: str) -> list[Quantity]:
    """The figures of a saying with their owners."""
    tokens = written_tokens(line_words(said))
    return attach_quantities(find_quantities(tokens, Settings()), tokens, VOCABULARY)


def roles(said: str) -> list[tuple[float, str]]:
    """Value and role of each figure."""
    return [(qty.value, qty.role) for qty in figures(said)]


def units(said: str) -> list[str]:
    """Each figure with its unit, and a question mark where nobody said it."""
    return [f"{qty.value:g} {qty.unit}{'' if qty.unit_said else '?'}" for qty in figures(said) if qty.kind != "count"]


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            "I measured the clutch springs, thirty two millimetres, and the limit's thirty and a half.",
            [(32, "found"), (30.5, "limit")],
        ),
        ("The journal is nineteen point nine millimetres and the book says twenty.", [(19.9, ""), (20, "wanted")]),
        ("The front tyre's at one bar, it wants to be two.", [(1, "found"), (2, "wanted")]),
        ("The play on the old one was forty thou, the new one's about three.", [(40, "old"), (3, "")]),
        ("The lining is four millimetres, two millimetres minimum.", [(4, ""), (2, "limit")]),
        ("It was eighty psi when it should be one fifty.", [(80, ""), (150, "wanted")]),
        ("It's no thinner than three millimetres.", [(3, "limit")]),
        # none of these words tells anything of the figure
        ("I torqued the head nuts to twenty newton metres.", [(20, "")]),
        ("The old bolts came out, and the new ones are at ten newton metres.", [(10, "")]),
        ("The book is on the bench. The bolts are at ten newton metres.", [(10, "")]),
    ],
)
def test_words_tell_what_a_figure_is(said: str, expected: list[tuple[float, str]]) -> None:
    assert roles(said) == expected


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        # a unit of the figure before, where it makes sense
        ("The carrier bolts are forty newton metres. The slide bolts are twenty five.", ["40 N·m", "25 N·m"]),
        ("Seven newton metres on the clips. I've used four hundred and ten, that's plenty.", ["7 N·m"]),
        # a unit behind its figures is theirs
        ("The spring balances read 210 left, 205 right, that's kilograms.", ["210 kg", "205 kg"]),
        ("One ten on the roof, one thirty on the wings. Microns.", ["110 µm", "130 µm"]),
        ("It should be five to seven clicks, and it's about eleven now.", []),
        ("A half turn on the air screw. Then the plug, the gap's point seven.", ["0.5 turn", "0.7 mm?"]),
        (
            "End float is six thou. Three thicknesses of circlip, one point five, one point five five.",
            ["6 thou", "1.5 mm?", "1.55 mm?"],
        ),
        ("The groove is sixty thou wide and the next one's sixty two.", ["60 thou", "62 thou"]),
        ("Screws at eight newton metres. Five. Where's the sixth one gone.", ["8 N·m"]),
        ("Screws at eight newton metres. Ten on the long ones.", ["8 N·m", "10 N·m"]),
        ("The hub nut's a thirty mil, and it's a hundred and sixty to go back on.", ["30 mm", "160 N·m?"]),
        ("The bore's a thirty mil, and it's thirty five at the back.", ["30 mm", "35 mm"]),
        ("The hose is half an inch. And a new cable, one point five square, three core.", ["0.5 in"]),
        # "mil" by what it belongs to
        ("The bushes are reamed to sixteen mil, and the oil hole lines up.", ["16 mm"]),
        ("I put four hundred mil of gear oil in.", ["400 mL"]),
    ],
)
def test_a_unit_is_lent_where_it_makes_sense(said: str, expected: list[str]) -> None:
    assert units(said) == expected
