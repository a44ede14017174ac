"""Terms that cannot stand where they are proposed, whatever they sound like: nobody is asked for these."""

from __future__ import annotations

from pipeline.correct.asks import EVERYDAY
from pipeline.correct.forms import Form
from pipeline.correct.windows import Heard

# What follows a verb and no name of a part: "shifted into", "treaded it".
_AFTER_A_VERB = frozenset(("it", "them", "these", "those", "this", "that", "the", "a", "an", "my", "our", "into"))
# "We'll", "they're": subject and verb in one, which a noun is heard as only where a noun stands.
_CONTRACTED = ("'ll", "'re", "'ve", "'d", "'m")
_BEFORE_A_NOUN = frozenset(("the", "a", "an", "this", "that", "my", "your", "our", "its", "new", "old", "of", "both"))
_ENDINGS = ("s", "es", "ed", "er", "ers", "ing")
_SHORTEST_STEM = 4


def out_of_place(heard: Heard, start: int, end: int, form: Form) -> bool:
    """Whether the words around, or the very word heard, forbid the term over words `start`..`end`."""
    words = heard.strip.words
    return (
        _is_said_twice(heard, start, end, form.words)
        or (end - start == 1 and _is_of_a_verb(heard, start, form.words))
        or (end - start == 1 and _only_ends_otherwise(words[start], form.words))
    )


def _beside(heard: Heard, place: int, inside: int) -> str:
    """The word at `place` where it stands in the clause of the word at `inside`, else ""."""
    words, clause = heard.strip.words, heard.clause
    known = 0 <= place < len(words) and heard.sentence[place] == heard.sentence[inside]
    return words[place] if known and clause[place] == clause[inside] else ""


def _is_said_twice(heard: Heard, start: int, end: int, meant: tuple[str, ...]) -> bool:
    """ "Gap tap" is no "tap tap": a word that is heard right beside would stand there twice."""
    words = heard.strip.words
    before, after = _beside(heard, start - 1, start), _beside(heard, end, end - 1)
    return (before == meant[0] != words[start]) or (after == meant[-1] != words[end - 1])


def _is_of_a_verb(heard: Heard, place: int, meant: tuple[str, ...]) -> bool:
    """ "Treaded it" is no "treadle it", and "so we'll" no "so wheel"."""
    word = heard.strip.words[place]
    if word.endswith("ed"):
        return not meant[-1].endswith("ed") and _beside(heard, place + 1, place) in _AFTER_A_VERB
    if word.endswith(_CONTRACTED):
        before = _beside(heard, place - 1, place)
        named = place > 0 and heard.strip.ids[place - 1] >= 0 and heard.strip.frequency[place - 1] < EVERYDAY
        return not (before in _BEFORE_A_NOUN or (before != "" and bool(named)))
    return False


def _only_ends_otherwise(word: str, meant: tuple[str, ...]) -> bool:
    """ "Shifted" is "shift" with an ending, and no "shift rod"."""
    stem = meant[0]
    return len(meant) > 1 and len(stem) >= _SHORTEST_STEM and word.startswith(stem) and word[len(stem) :] in _ENDINGS
