"""Tokens as the event rules read them: contractions and hyphens taken apart, pauses and punctuation as breaks."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from pipeline.records import Token
from pipeline.tokens import bare, ends_sentence

COMMA, PAUSE, SENTENCE = 1, 2, 3
PAUSE_MS = 700

_WHOLE = {
    "won't": ("will", "not"),
    "shan't": ("shall", "not"),
    "can't": ("can", "not"),
    "cannot": ("can", "not"),
    "ain't": ("is", "not"),
    "let's": ("let", "us"),
    "gonna": ("going", "to"),
    "wanna": ("want", "to"),
    "gotta": ("got", "to"),
    "oughta": ("ought", "to"),
    "'cause": ("because",),
    "cuz": ("because",),
    "'em": ("them",),
    "'ve": ("have",),
    "o'clock": ("o'clock",),
    "mic'd": ("measured",),
}
_ENDINGS = (("n't", "not"), ("'ve", "have"), ("'ll", "will"), ("'re", "are"), ("'m", "am"), ("'d", "'d"), ("'s", "'s"))
# What a recogniser or a text without punctuation leaves of a contraction.
_SQUASHED = {
    **{f"{aux}nt": (aux, "not") for aux in ("did", "do", "does", "has", "have", "had", "is", "are", "was", "were")},
    **{f"{aux}nt": (aux, "not") for aux in ("could", "should", "would", "need", "must")},
    **{f"{who}ve": (who, "have") for who in ("i", "we", "you", "they")},
    **{f"{who}ll": (who, "will") for who in ("you", "they", "that", "it", "this", "there")},
    **{f"{who}re": (who, "are") for who in ("you", "they")},
    **{f"{who}s": (who, "'s") for who in ("that", "what", "here", "there", "he", "she", "where", "who", "everything")},
    **{f"{who}d": (who, "'d") for who in ("you", "they")},
    "im": ("i", "am"),
    "wont": ("will", "not"),
    "cant": ("can", "not"),
    "lets": ("let", "us"),
    "theyd": ("they", "'d"),
    "hed": ("he", "'d"),
    "somebodys": ("somebody", "'s"),
    "someones": ("someone", "'s"),
    "micd": ("measured",),
    "mike'd": ("measured",),
    "miked": ("measured",),
    "em": ("them",),
    "wi": ("with",),
    "til": ("till",),
    "aint": ("is", "not"),
    "ya": ("you",),
    "y'all": ("you",),
    "yall": ("you",),
}
# Words whose apostrophe in front tells a shorter form: "'cause", "'bout".
_CLIPPED = {"cause": "because", "bout": "about", "til": "till", "em": "them", "round": "round"}


@dataclass(frozen=True, slots=True)
class Unit:
    """One word for the rules: its lower-case text, the token it comes from, and how strong a break stands before it."""

    text: str
    token: int
    gap: int


def read_units(tokens: Sequence[Token], base_verbs: Collection[str]) -> list[Unit]:
    """Units of the tokens. `base_verbs` tells "ill" (I will) and "its" (it is) from the plain words."""
    units: list[Unit] = []
    texts = [_plain(token.text) for token in tokens]
    gap = SENTENCE
    for index, token in enumerate(tokens):
        text = texts[index]
        if index:
            before = tokens[index - 1]
            if token.start_ms - before.end_ms >= PAUSE_MS:
                gap = max(gap, PAUSE)
        if not text:
            gap = max(gap, PAUSE if token.text.strip("-–—") == "" else COMMA)
            continue
        following = texts[index + 1] if index + 1 < len(texts) else ""
        pieces = _pieces(text, following, base_verbs, units[-1].text if units else "")
        for place, piece in enumerate(pieces):
            units.append(Unit(piece, index, gap if place == 0 else 0))
        gap = _gap_after(token.text)
    return units


def _plain(said: str) -> str:
    """The bare word, with what an apostrophe at its edge left out: "comin'", "'cause"."""
    text = bare(said)
    if said[:1] in ("'", "’", "‘") and text in _CLIPPED:
        return _CLIPPED[text]
    if text.endswith("in") and len(text) > 4 and said.rstrip(".,;:?!").endswith(("'", "’")):
        return text + "g"
    return text


def _gap_after(text: str) -> int:
    if ends_sentence(text):
        return COMMA if text.endswith(("...", "…")) else SENTENCE
    if text.endswith((";", ":", "–", "—")):
        return PAUSE
    return COMMA if text.endswith((",", "-", ")")) else 0


def split_word(text: str) -> tuple[str, ...]:
    """One lower-case word taken apart.

    >>> split_word("haven't"), split_word("cover's"), split_word("left-hand"), split_word("re-fitted")
    (('have', 'not'), ('cover', "'s"), ('left', 'hand'), ('refitted',))
    """
    if text in _WHOLE:
        return _WHOLE[text]
    if "'" in text:
        for ending, word in _ENDINGS:
            if text.endswith(ending) and len(text) > len(ending):
                return (*split_word(text[: -len(ending)]), word)
        if text.endswith("s'"):
            return (text[:-1],)
    if "-" in text:
        first, _, rest = text.partition("-")
        if first in ("re", "un", "pre", "de") and rest:
            return (first + rest.replace("-", ""),)
        return tuple(piece for word in text.split("-") if word for piece in split_word(word))
    return (text,)


def _pieces(text: str, following: str, base_verbs: Collection[str], before: str) -> tuple[str, ...]:
    if text in _SQUASHED:
        return _SQUASHED[text]
    if text == "ill" and (following in base_verbs or following in ("be", "have", "need", "just", "then")):
        return ("i", "will")
    if text == "well" and (following in base_verbs and following not in ("be",)) and before not in ("as", "very"):
        return ("we", "will") if following != "done" else (text,)
    if text == "were" and following.endswith("ing") and before in _BEFORE_WE:
        return ("we", "are")
    if text == "id" and following:
        return ("i", "'d")
    if text == "its" and before not in _BEFORE_OWN and (following in _AFTER_IT_IS or following.endswith(("ing", "ed"))):
        return ("it", "'s")
    return split_word(text)


_BEFORE_WE = frozenset(("", "so", "next", "now", "then", "and", "okay", "today", "right", "because", "but", "here"))
_BEFORE_OWN = frozenset(
    ("got", "has", "have", "had", "with", "of", "on", "in", "for", "from", "into", "onto", "to", "by")
)
_AFTER_IT_IS = frozenset(
    [
        "a",
        "an",
        "the",
        "been",
        "on",
        "in",
        "off",
        "out",
        "back",
        "not",
        "going",
        "got",
        "just",
        "now",
        "only",
        "all",
        "still",
        "gone",
        "come",
        "had",
        "done",
        "never",
        "always",
        "too",
        "so",
        "very",
        "quite",
        "really",
        "fine",
        "good",
        "tight",
        "loose",
        "nice",
        "that",
        "this",
        "to",
        "about",
        "time",
        "ready",
        "home",
        "apart",
        "together",
        "up",
        "down",
        "new",
        "original",
        "worn",
        "broken",
        "bent",
        "cracked",
    ]
)
