"""Independent readers of the outputs: each says what is wrong with a text, and knows nothing of how it was made."""

from __future__ import annotations

import csv
import io
import unicodedata
from html.parser import HTMLParser

from markdown_it import MarkdownIt

# What our pages are made of. Anything else in a page came from somebody's words.
_ELEMENTS = """
    a audio b bdi body code dd details div dl dt figcaption figure footer h1 h2 h3 head header html img li line main
    meta nav ol p path q rect script section span style summary svg table tbody td text th thead title tr ul video
""".split()  # noqa: SIM905


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.faults: list[str] = []
        self.text: list[str] = []
        self.scripts = 0
        self._inside = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._inside = tag
        self.scripts += tag == "script"
        if tag not in _ELEMENTS:
            self.faults.append(f"element {tag}")
        for name, value in attrs:
            if name.startswith("on") or name == "style":
                self.faults.append(f"attribute {name}")
            if name in ("href", "src") and not (value or "").startswith(("#", "./", "data:image/jpeg;base64,")):
                self.faults.append(f"address {value}")

    def handle_comment(self, data: str) -> None:
        self.faults.append(f"comment {data}")

    def handle_data(self, data: str) -> None:
        if self._inside not in ("script", "style"):
            self.text.append(data)


def read_html(text: str) -> tuple[str, list[str]]:
    """The visible text, and what does not belong: foreign elements, handlers, addresses, comments, scripts."""
    reader = _Reader()
    reader.feed(text)
    reader.close()
    if reader.scripts > 1:
        reader.faults.append(f"{reader.scripts} scripts")
    return "".join(reader.text), reader.faults + _direction_faults(text)


def read_markdown(text: str) -> tuple[str, list[str]]:
    """The visible text as CommonMark with tables shows it, and what does not belong: markup, links, code, pictures."""
    faults: list[str] = []
    shown: list[str] = []
    tokens = MarkdownIt("commonmark", {"linkify": False}).enable("table").parse(text)
    for token in tokens:
        if token.type in ("html_block", "code_block", "fence", "hr"):
            faults.append(f"{token.type} {token.content[:60]}")
        for child in token.children or []:
            if child.type in ("html_inline", "link_open", "image", "code_inline"):
                faults.append(f"{child.type} {child.content[:60]}")
            shown.append(" " if child.type == "softbreak" else child.content)
        shown.append("\n")
    return "".join(shown), faults + _direction_faults(text)


def read_csv(text: str) -> tuple[list[dict[str, str]], list[str]]:
    """The rows, and what does not belong: formulas, rows that do not fit the header."""
    rows = list(csv.reader(io.StringIO(text, newline="")))
    header, faults = rows[0], []
    for row in rows[1:]:
        if len(row) != len(header):
            faults.append(f"{len(row)} cells under {len(header)} columns")
        faults.extend(f"formula {cell}" for cell in row if cell[:1] in tuple("=+-@\t\r") and not _is_number(cell))
    return [dict(zip(header, row, strict=False)) for row in rows[1:]], faults + _direction_faults(text)


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _direction_faults(text: str) -> list[str]:
    """Characters that turn the direction of the text around them, and control characters (Unicode UAX #9, 2)."""
    turning = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
    return [
        f"U+{ord(char):04X}"
        for char in text
        if unicodedata.bidirectional(char) in turning
        or char in "\u200e\u200f\u061c"
        or (unicodedata.category(char) == "Cc" and char not in "\n\r")
    ]
