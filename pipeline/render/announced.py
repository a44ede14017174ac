"""What the speaker says that he turns to: "Now the headset.", "Third is the water pump.", "Brakes, then." """

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pipeline.chapters import opener_length, topic_words
from pipeline.records import Token
from pipeline.tokens import bare, ends_sentence

# A topic is named in so many words at most, and a short sentence that names one holds no more than that.
_LONGEST = 4
# "Third is the water pump", "next up it's the back wheel", "last job, the lamp".
_PLACES = frozenset(("first", "second", "third", "fourth", "fifth", "last", "next"))
_LINKS = frozenset(
    ("is", "are", "was", "it's", "that's", "up", "job", "thing", "one", "item", "comes", "then", "of", "all")
)
_BEHIND = frozenset(("then", "now", "next", "first"))
_BEFORE = frozenset(("the", "this", "my", "our", "onto", "to", "on", "over", "for", "with", "and", "so", "that"))
# Words of a sentence that tells something: "front plate on", "it's off", "not that one".
_TELLS = frozenset(
    ("a", "an", "and", "are", "back", "bad", "be", "by", "can", "did", "do", "does", "done", "down", "fine", "gone",
     "good", "had", "has", "have", "he", "here", "i", "in", "is", "it", "like", "loose", "lovely", "me", "new", "no",
     "not", "of", "off", "ok", "okay", "old", "on", "one", "or", "out", "she", "that", "them", "there", "they", "tight",
     "up", "was", "we", "were", "what", "will", "with", "yes", "you", "your")
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Announced:
    """A topic at the tokens [start, end), said at the head of a sentence."""

    start: int
    end: int


def announced(tokens: Sequence[Token]) -> list[Announced]:
    """Topics that are named in a short sentence of their own, or after "next", "third" and the like.

    >>> from pipeline.tokens import line_words, written_tokens
    >>> tokens = written_tokens(line_words("That is that. Now the headset. Two bolts off. Third is the water pump."))
    >>> [" ".join(token.text for token in tokens[found.start : found.end]) for found in announced(tokens)]
    ['headset.', 'water pump.']
    """
    found = [_topic(tokens, start, end) for start, end in _sentences(tokens)]
    beside = zip([None, *found], found, [*found[1:], None], strict=False)
    # "Still to do. Grommet. Shift rod. Plugs.": items of a list, and nothing that he turns to
    return [topic for before, topic, behind in beside if topic and not before and not behind]


def _sentences(tokens: Sequence[Token]) -> Iterator[tuple[int, int]]:
    start = 0
    for at, token in enumerate(tokens):
        if ends_sentence(token.text):
            yield start, at + 1
            start = at + 1
    # words without punctuation are one sentence: nothing stands alone in them


def _topic(tokens: Sequence[Token], start: int, end: int) -> Announced | None:
    keys = [bare(token.text) for token in tokens[start:end]]
    at = opener_length(keys)
    ordered = bool(_PLACES.intersection(keys[:at]))
    if at < len(keys) and keys[at] in _PLACES:
        at, ordered = at + 1, True
    while at < len(keys) and (keys[at] in _BEFORE or (ordered and keys[at] in _LINKS | _PLACES)):
        at += 1
    last = len(keys)
    while last > at and keys[last - 1] in _BEHIND:
        last -= 1
    own = keys[at:last]
    if not own or len(own) > _LONGEST or not _is_name(tokens[start + at : start + last], own):
        return None
    return Announced(start + at, start + last)


def _is_name(said: Sequence[Token], keys: Sequence[str]) -> bool:
    """Words that may name a part: no figure, nothing that is told, no list and no cry."""
    words = topic_words()
    if keys[-1] in words.stop or (words.measures | _TELLS).intersection(keys) or words.verbs.intersection(keys[:-1]):
        return False
    ends = said[-1].text[-1:]
    listed = any(not token.text[-1:].isalnum() for token in said[:-1])
    return (ends in ".:," or ends.isalnum()) and not listed and not any("'" in key for key in keys)
