"""Words of side and position that tell none where they stand: "Right, the springs", "put that back on"."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pipeline.events.phrase import PARTICLES
from pipeline.events.rules import PhraseTable

_OPPOSITES = {
    "back": "front", "bottom": "top", "inner": "outer", "inside": "outside", "lower": "upper", "outer": "inner",
    "outside": "inside", "top": "bottom", "upper": "lower",
}  # fmt: skip
_ARTICLES = frozenset(("the", "a", "an", "my", "his", "her", "our", "your", "its", "their", "each", "both", "other"))
_DETERMINERS = _ARTICLES | {"this", "that", "these", "those", "one", "new", "old", "same", "front", "rear", "top"}
_SMALL = (
    _ARTICLES | PARTICLES
    | frozenset(
        ("this", "that", "these", "those", "it", "them", "of", "to", "at", "from", "with", "by", "for", "into", "onto",
         "and", "or", "but", "so", "then", "now", "again", "is", "are", "was", "were", "i", "we", "you", "he", "she",
         "they", "half", "until", "till", "when", "if", "as", "where", "because", "once", "before", "after", "next",
         "last", "later", "today", "tomorrow", "tonight", "there", "here", "round", "around", "under", "behind",
         "against", "some", "on", "some", "two", "three", "about", "nicely", "up", "yet", "not", "just", "all", "which")
    )
)  # fmt: skip
_OPENS_TALK = frozenset(
    ("so", "then", "now", "i", "i'm", "i've", "i'll", "we", "we're", "we've", "we'll", "let", "let's", "next", "okay",
     "what", "that's", "well", "today", "hello", "first", "where", "what's", "there's", "here's", "you")
)  # fmt: skip
# "all right", "that's right", "not right"
_BEFORE_CORRECT = frozenset(
    ("all", "alright", "that's", "it's", "'s", "not", "quite", "just", "is", "are", "was", "be")
)
# "right at the bottom", "right through"
_ALL_THE_WAY = PARTICLES | frozenset(
    ("at", "into", "onto", "round", "around", "behind", "against", "along", "across", "under", "to", "from", "next")
)
# "the right way up", "the right amount"
_PROPER = frozenset(
    ("angle", "angles", "angled", "way", "ways", "amount", "size", "tool", "tools", "spanner", "socket", "grade",
     "torque", "figure", "spec", "order", "place", "places", "sort", "kind", "type", "length", "height", "depth",
     "thread", "time", "number", "lot", "stuff", "thing", "tension", "clearance", "gap", "position", "handed")
)  # fmt: skip
_LACKS = frozenset(("not", "haven't", "hasn't", "hadn't", "don't", "didn't", "can't", "couldn't", "never", "without"))
_GOT = frozenset(("got", "get", "have", "had", "find", "sent", "send"))
# "I've left it", "what's left"
_LEFT_BY = frozenset(
    ("i", "we", "he", "they", "you", "have", "has", "had", "i've", "we've", "they've", "he's", "'ve", "was", "were",
     "been", "be", "being", "what's", "'s", "it's", "nothing", "i'd", "'d", "previously", "someone", "somebody")
)  # fmt: skip
_LEFT_WHAT = frozenset(
    ("it", "them", "that", "those", "this", "these", "the", "a", "an", "my", "alone", "off", "out", "loose", "slack",
     "over", "undone", "behind", "some", "everything", "him", "her")
)  # fmt: skip
# A port is an opening too: it is a side where something of the name follows, in talk that has a starboard.
_PORTS = frozenset(
    ("timing", "map", "liner", "plug", "plugs", "cover", "seal", "size", "height", "face", "gasket", "window", "edge",
     "shape", "shapes", "injection", "sleeve", "blank", "opening")
)  # fmt: skip
_AWAY = frozenset(("from", "to", "towards", "toward", "facing", "faces"))
_EXCEPT = frozenset(("except", "bar", "barring", "excepting", "besides"))
_EXCEPTION_WITHIN = 5


def tells_place(words: Sequence[str], breaks: Sequence[bool], at: int, end: int) -> bool:
    """Whether the word of side or position at `at`..`end` can say where a part is.

    `words` are bare and in lower case; `breaks` tells before which of them a comma or more stands.
    """
    word = words[at] if end == at + 1 else ""
    before = words[at - 1] if at and not breaks[at] else ""
    after = words[end] if end < len(words) and not breaks[end] else ""
    if _is_direction(words, breaks, at, after):
        return False
    if word == "right":
        return not (_says_well(before, after, breaks, at) or _is_proper(words, at, before, after))
    if word == "left":
        if before in _DETERMINERS or before in ("on", "and", "or"):
            return True
        return before not in _LEFT_BY and after not in _LEFT_WHAT
    if word in ("back", "forward"):
        if before in ("that", "this", "it", "them", "these", "those") and (not after or after in _SMALL):
            return False
        return before in _DETERMINERS or bool(after and after not in _SMALL)
    if word == "port":
        return "starboard" in words or bool(after and after not in _SMALL | _PORTS and before in _DETERMINERS)
    if word in ("inside", "outside") and before not in _DETERMINERS:
        return after not in _ARTICLES
    return True


def _says_well(before: str, after: str, breaks: Sequence[bool], at: int) -> bool:
    """ "Right, the springs", "right so", "that's right"."""
    if before in _BEFORE_CORRECT and before != "are":
        return True
    if before in _DETERMINERS or before in ("on", "left", "and", "or"):
        return False
    return (not before and not after) or after in _OPENS_TALK or (not before and after in ("the", "this", "it"))


def _is_proper(words: Sequence[str], at: int, before: str, after: str) -> bool:
    """ "the right way", "right at the bottom", "I haven't got the right bolts"."""
    if after in _PROPER:
        return True
    if before not in _DETERMINERS:
        return after in _ALL_THE_WAY and "left" not in words[max(0, at - 8) : at]
    lead = words[max(0, at - 5) : at]
    return before == "the" and not _LACKS.isdisjoint(lead) and not _GOT.isdisjoint(lead)


def _is_direction(words: Sequence[str], breaks: Sequence[bool], at: int, after: str) -> bool:
    """ "slides in from the left", "drops out of the bottom": where it comes from is not where it is."""
    if after and after not in _SMALL:
        return False
    first = at - 1 if at and words[at - 1] in ("the", "its", "this", "that") else at
    if not first or breaks[first] or breaks[at]:
        return False
    return words[first - 1] in _AWAY or list(words[max(0, first - 2) : first]) == ["out", "of"]


def exception(words: Sequence[str], at: int) -> int:
    """Where the words for what is left out end ("all except", "everything bar"); `at` where none begins."""
    pair = tuple(words[at : at + 2])
    if pair in (("apart", "from"), ("except", "for"), ("other", "than"), ("aside", "from"), ("save", "for")):
        return at + 2
    if words[at] in ("all", "everything", "them", "both") and pair[1:] == ("but",):
        return at + 2
    return at + 1 if words[at] in _EXCEPT and (words[at] != "bar" or _of_all(words, at)) else at


def _of_all(words: Sequence[str], at: int) -> bool:
    """ "everything bar the hose"; a "breaker bar" is a tool."""
    lead = words[max(0, at - 3) : at]
    return any(word in ("all", "everything", "them", "every", "lot", "both") for word in lead)


def is_excepted(words: Sequence[str], breaks: Sequence[bool], at: int) -> bool:
    """Whether the word at `at` names what is left out."""
    for first in range(at - 1, max(-1, at - 1 - _EXCEPTION_WITHIN), -1):
        if breaks[first + 1]:
            return False
        if exception(words, first) > first:
            return True
    return False


def has_opposite(said: Sequence[str], at: int, terms: PhraseTable[Any]) -> bool:
    """A "bottom yoke" is at the bottom, since there is a top one; a "bottom bracket" or a "back plate" is nowhere.

    `said`: the words of a term, of which the one `at` may tell a place.
    """
    other = _OPPOSITES.get(said[at])
    found = terms.at([*said[:at], other, *said[at + 1 :]], 0) if other else None
    return other is None or (found is not None and found[0] == len(said))
