"""Sides, positions and conditions that the reader network takes to be said of a part."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence

from pipeline.events.place_words import is_excepted, tells_place
from pipeline.events.rules import Rules
from pipeline.reader.reading import PART_PLACE, VERB_PLACE, Reading
from pipeline.tokens import bare

# (first token, token behind, what, value)
AttributeWords = tuple[int, int, str, str]
_MARKS = frozenset(".,;:!?…)")
# So many words away the network has learned to look.
_NEAR = 40
# Scores, in natural logarithms of odds, chosen on what networks said of authors that they had not seen. Below the first
# a value that the rules chose is dropped, above the second one that they did not see is added, and one that leads by
# the third takes the place of another.
LIMITS = {"side": (-3.0, 0.1, 1.0), "position": (-3.0, 0.1, 1.0), "condition": (-6.0, 1.0, 2.0)}


def attribute_words(words: Sequence[str], rules: Rules) -> list[AttributeWords]:
    """The words that can tell a side, a position or a condition."""
    plain = [bare(word) for word in words]
    breaks = [True, *(word[-1:] in _MARKS for word in words)]
    found: list[AttributeWords] = []
    for what, table in (("side", rules.side), ("position", rules.position), ("condition", rules.condition)):
        at = 0
        while at < len(plain):
            hit = table.at(plain, at)
            placed = what == "condition" or (
                hit and tells_place(plain, breaks, at, hit[0]) and not is_excepted(plain, breaks, at)
            )
            if hit and placed:
                found.append((at, hit[0], what, hit[1]))
            at = hit[0] if hit else at + 1
    return found


class ReaderPlaces:
    """Attributes of one text, as one reading has them. `owners` gives the last token of the part that a word can only
    be said of, by the token of that word."""

    def __init__(
        self, words: Sequence[str], rules: Rules, reading: Reading, owners: Mapping[int, int] | None = None
    ) -> None:
        self._pairs, self._owners = reading.pairs, owners or {}
        self._spots: dict[str, list[tuple[int, str]]] = {what: [] for what in LIMITS}
        for start, _, what, value in attribute_words(words, rules):
            self._spots[what].append((start, value))

    def scores(self, what: str, verb: int, head: int) -> dict[str, float]:
        """How much each value said nearby belongs to the part with its last word at the token `head`."""
        found: dict[str, float] = {}
        spots = self._spots[what]
        for spot, value in spots[bisect_right(spots, (verb - _NEAR, "~")) : bisect_left(spots, (verb + _NEAR, ""))]:
            if self._owners.get(spot, head) != head:
                continue
            score = self._pairs.score(VERB_PLACE, verb, spot) + self._pairs.score(PART_PLACE, head, spot)
            found[value] = max(score, found.get(value, score))
        return found

    def choose(self, what: str, verb: int, head: int, ruled: str) -> str:
        """The value of an attribute, where the rules chose `ruled` ("" for none)."""
        scores = self.scores(what, verb, head)
        drop, add, lead = LIMITS[what]
        if not scores:
            return ruled
        best = max(scores, key=lambda value: scores[value])
        if not ruled:
            return best if scores[best] > add else ""
        if scores[best] > max(add, scores.get(ruled, drop) + lead):
            return best
        return ruled if scores.get(ruled, 0.0) > drop else ""
