"""Numbers before a noun: how many there are, of what sort it is, which of them, or how strong."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.events.noun_naming import NounNaming

# "eight point eight", as it is said: how strong a bolt is (property classes of ISO 898-1)
_CLASSES = frozenset(
    ("four point six", "four point eight", "five point six", "five point eight", "six point eight", "eight point eight",
     "nine point eight", "ten point nine", "twelve point nine")
)  # fmt: skip


def strength_class(text: Sequence[str], at: int) -> int:
    """Where the strength class of a bolt that begins here ends; 0 where none does."""
    return at + 3 if " ".join(text[at : at + 3]) in _CLASSES else 0


class NounCounting(NounNaming):
    """What a number says in a noun phrase."""

    def _sorts_or_labels(self, end: int) -> bool:
        """Whether the number that ends here tells of what sort a thing is ("a four pin plug"), or which ("number two
        knife"), and not how many there are."""
        text = self._scan.text
        if self._determiner in ("a", "an") and self._start < self._at:
            return text[self._at] not in ("few", "couple", "dozen", "hundred")
        labelled = self._at > 0 and text[self._at - 1] in ("number", "no")
        return labelled and end < len(text) and not self._finder.singular(text[end])[1]
