"""No figure is invented: 10,000 sentences that hold none, of speeches and of workshop talk made from every term."""

from __future__ import annotations

import gzip
from collections.abc import Iterator

from pipeline.numbers import cut
from pipeline.numbers.words import NUMBER_WORDS
from pipeline.quantities import find_quantities
from pipeline.records import Settings
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import load_vocabulary
from tests.quantities.scoring import CORPUS

SENTENCES = 10_000
# The speeches hold figures with these.
FIGURES = ("percent", "ounces", "four-to-one", "an inch")
# Everyday numbers, labels, years and words that sound like numbers or units, beside every part there is.
FRAMES = (
    "Right, the {part} came off with a bit of heat and it's far too loud.",
    "At this point the {part} fell out, and one of them rolled under the bench.",
    "I'll do the {part} one day, for now it can stay as it is.",
    "The other one was the {part}, and it's in part number 4512 of the book.",
    "It was built in 1962 and the {part} is the original one.",
    "See page 40 for the {part}, and step three for what comes after.",
    "I paid twenty pounds for the {part}, which is too much.",
    "There are two ways to get at the {part}, and both of them hurt.",
    "The gaps are too wide now, and the {part} wants to go back.",
    "Somebody set the {part} to one side, in the third drawer down.",
    "That's four of us looking at the {part}, out in the cold.",
    "First the {part}, second the cover, third a cup of tea at half past three.",
    "I was told by a friend of mine that the {part} is free to a good home.",
    "The {part} ate through its paint, well out of the way of the torque wrench.",
    "We want for nothing here, only the {part} is missing at the moment.",
    "Give the {part} a wipe now and again, and half the trouble goes away.",
    "The clearance is too tight, so the {part} goes back to the shop.",
    "It took me twelve miles on foot to find that {part}.",
    "Is the {part} on the left or the right, or is that for later?",
    "Number four on the drawing is the {part}, see figure 3.",
)


def cut_words(name: str) -> list[str]:
    """The words and figures of a term's name; a figure counts as a number word."""
    return ["one" if piece.text[0].isdigit() else piece.text for piece in cut(name.split())]


def sentences() -> Iterator[str]:
    """Speeches first, then one sentence a term, frame after frame."""
    lines = gzip.decompress((CORPUS / "english_speeches.txt.gz").read_bytes()).decode("utf-8").splitlines()
    yield from (line for line in lines if not line.startswith("#") and not any(word in line for word in FIGURES))
    names = [term.name for term in load_vocabulary().terms if not {*cut_words(term.name)} & NUMBER_WORDS]
    for turn in range(len(FRAMES)):
        for place, name in enumerate(names):
            yield FRAMES[(place + turn) % len(FRAMES)].format(part=name)


def test_no_figure_is_invented() -> None:
    invented = []
    for _, line in zip(range(SENTENCES), sentences(), strict=False):
        found = find_quantities(written_tokens(line_words(line)), Settings())
        invented += [f"{qty.said!r} ({qty.kind}) in {line!r}" for qty in found if qty.kind != "count"]
    assert not invented, invented
