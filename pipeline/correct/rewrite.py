"""Writes a term in place of what was heard: its case, punctuation, plural and possessive stay."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pipeline.records import Word
from pipeline.tokens import bare

_INNER = re.compile(r"^(\W*)(.*?)(\W*)$", re.DOTALL)


def edges(text: str) -> tuple[str, str]:
    """Punctuation before and after the word.

    >>> edges("(pin),")
    ('(', '),')
    """
    match = _INNER.match(text)
    return (match.group(1), match.group(3)) if match else ("", "")


def _is_shouted(texts: Sequence[str]) -> bool:
    whole = "".join(texts)
    return whole.isupper() and sum(char.isalpha() for char in whole) > 2


def written_form(words: Sequence[Word], form: str, possessive: bool) -> str:
    """`form` as it stands in place of `words`.

    >>> written_form((Word("(Good", 0, 1), Word("gin", 1, 2), Word("pin's,", 2, 3)), "gudgeon pin", True)
    "(Gudgeon pin's,"
    """
    texts = [word.text for word in words]
    before, after = edges(texts[0])[0], edges(texts[-1])[1]
    text = form
    if possessive:
        text += "'" if form.endswith("s") else "'s"
    cores = [core for piece in texts if (core := bare(piece)) and (core := piece.strip("\"'“”‘’()[]{}<>.,;:!?…–—-"))]
    if _is_shouted(cores):
        text = text.upper()
    elif len(cores) > 1 and all(core[:1].isupper() for core in cores):
        text = " ".join(piece[:1].upper() + piece[1:] for piece in text.split(" "))
    elif cores and cores[0][:1].isupper():
        text = text[:1].upper() + text[1:]
    if possessive and after.startswith(("'", "’")) and form.endswith("s"):
        after = after[1:]
    return f"{before}{text}{after}"
