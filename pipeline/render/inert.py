"""Makes foreign text harmless. Whatever was said, or stands in a file name, comes out as plain words.

A transcript is not ours: it may hold markup, table separators, spreadsheet formulas or characters that turn the
direction of everything after them. Each output has one door, and the doors are here.
"""

from __future__ import annotations

import re
import unicodedata

# General categories of the Unicode Standard: controls, format characters (among them all that turn the direction
# of text), surrogates, private use, unassigned.
_INVISIBLE = {"Cc", "Cf", "Cs", "Co", "Cn"}
_JOINERS = "\u200c\u200d\u00ad"  # part of the spelling of some words, and harmless
_BREAKS = "\t\n\v\f\r\x1c\x1d\x1e\x1f\x85\u2028\u2029"

_MARKDOWN = re.compile(r"([\\`*_\[\]<>|&~$#{}])")
_MARKDOWN_LINKS = re.compile(r"(?i)(?<=[a-z])(?=://)|(?<=\bwww)(?=\.)|(?=@)")
_MARKDOWN_OPENINGS = re.compile(r"^(\d+(?=[.)](?:\s|$))|(?=[-+=]))")
_FORMULA = ("=", "+", "-", "@")


def plain(value: object) -> object:
    """Text without control, direction and unassigned characters; what is not text, or is markup, as it is.

    >>> plain("turn \\u202eback\\x00  now")
    'turn back now'
    """
    if not isinstance(value, str) or hasattr(value, "__html__"):
        return value
    kept = (
        " " if char in _BREAKS else char
        for char in value
        if char in _BREAKS or char in _JOINERS or unicodedata.category(char) not in _INVISIBLE
    )
    return re.sub(" {2,}", " ", "".join(kept))


def plain_text(text: str) -> str:
    """`plain` for what is known to be text, without blanks at its ends."""
    return str(plain(text)).strip()


def markdown(text: str, opens: bool = True) -> str:
    """Text that a Markdown reader (CommonMark, GFM) shows as it is, also inside a table or a list.

    `opens` False is for text that stands behind other text, where no list can begin.

    >>> print(markdown("<b> a|b [x](y) https://a.b")), print(markdown("1. =x"))
    \\<b\\> a\\|b \\[x\\](y) https\\://a.b
    1\\. =x
    (None, None)
    """
    escaped = _MARKDOWN.sub(r"\\\1", plain_text(text))
    escaped = _MARKDOWN_LINKS.sub(r"\\", escaped)
    return _MARKDOWN_OPENINGS.sub(r"\1\\", escaped) if opens else escaped


def csv_cell(value: object) -> object:
    """A cell that no spreadsheet takes for a formula; numbers stay numbers.

    A text that opens with = + - or @ gets an apostrophe in front, after OWASP, "CSV Injection". Full-width forms
    count as their ASCII twins.

    >>> csv_cell("=cmd|' /C calc'!A0"), csv_cell(-5.0)
    ("'=cmd|' /C calc'!A0", -5.0)
    """
    if not isinstance(value, str):
        return value
    text = plain_text(value)
    return "'" + text if unicodedata.normalize("NFKC", text[:1]).startswith(_FORMULA) else text
