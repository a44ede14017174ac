"""No figure is invented: 10,000 sentences that hold none, of speeches and of workshop talk made from every term."""

from __future__ import annotations

import gzip
import random
from collections.abc import Iterator
from itertools import chain

from pipeline.numbers import cut
from pipeline.numbers.words import DENOMINATORS, NUMBER_WORDS
from pipeline.quantities import find_quantities
from pipeline.records import Settings
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import load_vocabulary
from tests.quantities.scoring import CORPUS

SENTENCES = 10_000
_NUMBERS = NUMBER_WORDS | set(DENOMINATORS)
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
    """Speeches first, then one sentence a term, frame after frame, in turn with talk put together at random."""
    lines = gzip.decompress((CORPUS / "english_speeches.txt.gz").read_bytes()).decode("utf-8").splitlines()
    yield from (line for line in lines if not line.startswith("#") and not any(word in line for word in FIGURES))
    names = [term.name for term in load_vocabulary().terms if not {*cut_words(term.name)} & NUMBER_WORDS]
    framed = (
        FRAMES[(place + turn) % len(FRAMES)].format(part=name)
        for turn in range(len(FRAMES))
        for place, name in enumerate(names)
    )
    yield from chain.from_iterable(zip(framed, plain_talk(SENTENCES), strict=False))


def plain_talk(count: int) -> list[str]:
    """Workshop talk without any figure, put together from everyday phrases and the vocabulary's terms."""
    opening = ["Right,", "Okay, so", "Now", "Well,", "And then", "For now", "Oh,", "To be fair,", "At that point", "So"]
    doing = [
        "I'm going to take the {} off",
        "the {} goes on the far end",
        "one of these holds the {}",
        "that's the {} done",
        "I won't overtighten the {}",
        "the {} ate the other one",
        "give the {} a turn by hand",
        "the {} is on its second life",
        "you can't get a bar on the {}",
        "I put my foot on the {}",
        "the {} cost me a few pounds",
        "it took a minute to free the {}",
        "the {} is a bit tight for my liking",
        "I had to go back for the {}",
        "there's a degree of wear in the {}",
        "every now and then the {} sticks",
        "we want the {} to seat square",
        "no one makes the {} any more",
        "the first {} was scrap",
        "half the time the {} just falls out",
        "the {} wants an ounce of grease",
        "I lost the {} in the grass",
    ]
    closing = [
        "and that's that.",
        "so far.",
        "as far as I can tell.",
        "before it gets dark.",
        "too.",
        "for the time being.",
        "again.",
    ]
    terms = [
        term.name
        for term in load_vocabulary().terms
        if term.kind == "part" and not _NUMBERS & set(term.name.replace("-", " ").split())
    ]
    chance = random.Random(175)
    return [
        f"{chance.choice(opening)} {chance.choice(doing).format(chance.choice(terms))} {chance.choice(closing)}"
        for _ in range(count)
    ]


def test_no_figure_is_invented() -> None:
    lines = [line for _, line in zip(range(SENTENCES), sentences(), strict=False)]
    assert len(set(lines)) > 0.99 * SENTENCES
    invented = []
    for line in lines:
        found = find_quantities(written_tokens(line_words(line)), Settings())
        invented += [f"{qty.said!r} ({qty.kind}) in {line!r}" for qty in found if qty.kind != "count"]
    assert not invented, invented
