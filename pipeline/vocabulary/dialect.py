"""Whether a speaker calls things by their British or their American names."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.records import Spelling
from pipeline.tokens import bare
from pipeline.vocabulary.terms import Term, Vocabulary

# So many different American names, and so many times as many as British ones, make an American: recognisers spell
# "tire" and "color" for everybody, so that only names count that are other words, and some of them all have.
_LEAST, _TIMES = 4, 3
_LONGEST = 4
_AMERICAN = frozenset(
    ("gasoline", "wrench", "wrenches", "trunk", "fender", "fenders", "flashlight", "windshield", "y'all", "lug", "lugs",
     "fall", "sidewalk", "garbage", "dime", "nickel", "quarter-inch", "wrenching")
)  # fmt: skip
_BRITISH = frozenset(
    ("petrol", "spanner", "spanners", "bonnet", "mudguard", "mudguards", "windscreen", "paraffin", "whilst",
     "fortnight", "lorry", "pence", "quid", "rubbish")
)  # fmt: skip


def spoken_spelling(words: Sequence[str], vocabulary: Vocabulary) -> Spelling:
    """The spelling in which the speaker would read: American only where he clearly speaks so."""
    american, british = _names(vocabulary)
    said = [bare(word) for word in words]
    ours, theirs = len(_said(said, american, _AMERICAN)), len(_said(said, british, _BRITISH))
    return "american" if ours >= _LEAST and ours >= _TIMES * theirs else "british"


def _said(words: Sequence[str], names: set[str], plain: frozenset[str]) -> set[str]:
    """The different names among the words; the longest counts where one holds another."""
    found, at = set(), 0
    while at < len(words):
        length = next((n for n in range(_LONGEST, 0, -1) if " ".join(words[at : at + n]) in names), 0)
        if length or words[at] in plain:
            found.add(" ".join(words[at : at + max(length, 1)]))
        at += length or 1
    return found


def _names(vocabulary: Vocabulary) -> tuple[set[str], set[str]]:
    """Names that only Americans use, and those that only the British use."""
    american: set[str] = set()
    british: set[str] = set()
    for term in vocabulary.terms:
        if term.american and _sounds_different(term):
            american.add(term.american.lower())
            british.add(term.name.lower())
    shared = {name.lower() for term in vocabulary.terms for name in term.spellings if not term.american}
    return american - british - shared, british - american - shared


def _sounds_different(term: Term) -> bool:
    """True for "spanner" and "wrench", not for "tyre" and "tire"."""
    ours, theirs = term.name.lower().split(), term.american.lower().split()
    return len(ours) != len(theirs) or any(a[:2] != b[:2] for a, b in zip(ours, theirs, strict=True))
