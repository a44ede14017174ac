"""Things that only the reader network sees: words that it points at as what a figure is of, outside all known names."""

from __future__ import annotations

from collections.abc import Container, Sequence

from pipeline.numbers.words import NUMBER_WORDS
from pipeline.quantities.mentions import name_words
from pipeline.quantities.names import is_function_word
from pipeline.quantities.owners import FARTHEST_BACK, FARTHEST_ON, Span, Speech
from pipeline.quantities.things import Thing, noun_phrase
from pipeline.reader import Reading
from pipeline.reader.reading import FIGURE_OWNER
from pipeline.vocabulary import Vocabulary, regular_singular

# What a word must be pointed at by, as natural logarithm of the odds, to be taken for a thing.
_POINTED = -0.5


def with_read_things(
    spans: Sequence[Span], things: Sequence[Thing], speech: Speech, reading: Reading | None, vocabulary: Vocabulary
) -> list[Thing]:
    """`things` and, for each figure, the noun that the network points at where none of them stands, in order."""
    if reading is None:
        return list(things)
    every, naming, parted = list(things), name_words(vocabulary), speech.parted
    stretches = [*((span.start, span.end) for span in spans), *((thing.start, thing.end) for thing in things)]
    taken = {place for start, end in stretches for place in range(start, end)}
    for span in spans:
        if span.qty.kind == "count":
            continue
        low, high = max(0, span.start - FARTHEST_BACK), min(len(speech.words), span.end + FARTHEST_ON)
        scores = reading.pairs.around(FIGURE_OWNER, span.start, low, high)
        best = low + int(scores.argmax())
        if scores[best - low] < _POINTED or best in taken or not _may_name(speech.words[best], naming):
            continue
        every.append(noun_phrase(speech.words, parted, best, every, vocabulary))
        taken.update(range(every[-1].start, every[-1].end))
    return sorted(every, key=lambda thing: thing.start)


def _may_name(word: str, naming: Container[str]) -> bool:
    """A word that parts and fluids are named with: what is misheard is often no such word ("the top dew")."""
    known = word in naming or regular_singular(word) in naming
    return known and word not in NUMBER_WORDS and not is_function_word(word)
