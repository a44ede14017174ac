"""Narrations in which terms are written as they were once heard: mined garbles put back into what was said.

Real recordings show few of the terms, and always in the same words. Here every mined garble of a term may stand in any
narration that says the term, and other words are now and then what they were heard as elsewhere. No part of the
installed package.
"""

from __future__ import annotations

import random
import zlib
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence

from correction_rows import FOLDS, Rows, fold_of_recordings, foreign, rows_of
from event_examples import narration_paths
from heard_sets import WORD_MS, Text, narrations
from narration import read_narration

from pipeline.correct.matcher import Matcher, build_matcher
from pipeline.records import Word
from pipeline.score.align import align, comparable
from pipeline.score.measure import term_mentions
from pipeline.vocabulary import load_vocabulary, shipped_hearings

# Such shares of the terms, and of the other words, are told as they were heard; of the texts so many have no
# probabilities.
GARBLED, MISHEARD, SILENT = 0.5, 0.06, 0.3
# Garbles that were heard often are not as much likelier as they were oftener.
EVENED = 0.7
Draws = Mapping[str, tuple[list[str], list[float]]]


class Garbler:
    """Tells narrations with garbles; `packs`: whose terms are garbled."""

    def __init__(self, packs: Matcher, seed: int) -> None:
        self._packs, self._rng = packs, random.Random(seed)
        self._garbles = _draws(shipped_hearings(narrated=False))
        heard = narrations("left_out") + narrations("dev")
        self._misheard = _draws(_misheard(heard + narrations("each")[::3]))
        self._right, self._wrong = _probabilities(heard)

    def told(self, words: Sequence[str]) -> tuple[Word, ...]:
        """The words as they might be heard."""
        pieces = [(piece, number) for number, word in enumerate(words) for piece in comparable(word)]
        said = [piece for piece, _ in pieces]
        found: list[list[tuple[str, bool]]] = [[(word, True)] for word in words]
        terms: set[int] = set()
        for start, end in term_mentions(said, self._packs):
            own = range(pieces[start][1], pieces[end - 1][1] + 1)
            form = self._packs.forms[self._packs.exact[tuple(said[start:end])]].text
            if not terms & set(own) and form in self._garbles and self._rng.random() < GARBLED:
                found[own[0]] = self._drawn(self._garbles, form, words[own[0]], words[own[-1]])
                for other in own[1:]:
                    found[other] = []
            terms |= set(own)
        for number, word in enumerate(words):
            bare = comparable(word)
            known = number not in terms and len(bare) == 1 and bare[0] in self._misheard
            if known and self._rng.random() < MISHEARD:
                found[number] = self._drawn(self._misheard, bare[0], word, word)
        silent = self._rng.random() < SILENT
        return tuple(
            Word(text, n * WORD_MS, (n + 1) * WORD_MS, 1.0 if silent else self._probability(right))
            for n, (text, right) in enumerate(each for part in found for each in part)
        )

    def _probability(self, right: bool) -> float:
        return self._rng.choice(self._right if right else self._wrong)

    def _drawn(self, draws: Draws, what: str, first: str, last: str) -> list[tuple[str, bool]]:
        """What is heard for `what`, with the capital of its first word and the punctuation of its last."""
        words = self._rng.choices(*draws[what])[0].split()
        words[-1] += last[len(last.rstrip(".,;:!?")) :]
        if first[:1].isupper():
            words[0] = words[0].capitalize()
        return [(word, False) for word in words]


def _draws(counts: Mapping[str, Mapping[str, int]]) -> Draws:
    return {what: (list(found), [n**EVENED for n in found.values()]) for what, found in counts.items() if found}


def _misheard(texts: Sequence[Text]) -> Mapping[str, Counter[str]]:
    """Words and what was heard in their stead, one or two words."""
    found: dict[str, Counter[str]] = defaultdict(Counter)
    for text in texts:
        said = comparable(text.reference)
        heard = [piece for word in text.words for piece in comparable(word.text)]
        for _, said_from, said_to, from_, to in align(said, heard).blocks:
            if said_to - said_from == 1 and 1 <= to - from_ <= 2 and said[said_from:said_to] != heard[from_:to]:
                found[said[said_from]][" ".join(heard[from_:to])] += 1
    return found


def _probabilities(texts: Sequence[Text]) -> tuple[list[float], list[float]]:
    """What the recogniser gave words of terms that it heard right, and wrong."""
    found: tuple[list[float], list[float]] = ([], [])
    for text in texts:
        for said in text.said:
            found[not said.right].extend(word.probability for word in text.words[said.start : said.end])
    return found


def told_rows(seed: int) -> Iterator[Rows]:
    """Rows of every narration to tune on, told with garbles that the vocabulary does not know."""
    packs = build_matcher(load_vocabulary())
    garbler, folds = Garbler(packs, seed), fold_of_recordings()
    uncounted = foreign(packs)  # the narrations were counted
    for path in narration_paths():
        if path.parent.name == "tuning":
            words = list(read_narration(path).words)
            text = Text(" ".join(words), garbler.told(words), ())
            fold = folds.get(path.stem, zlib.crc32(path.stem.encode()) % FOLDS)
            yield rows_of("told", fold, text, uncounted)
