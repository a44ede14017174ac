"""Plain lists of terms (one a line) and parts lists (CSV) of any domain, read with every fault reported."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable
from pathlib import Path

from pipeline.errors import WitnessmarkError
from pipeline.records import Finding
from pipeline.vocabulary.terms import Term, Vocabulary, regular_plural

LONGEST_TERM = 80
"""Characters; a longer line is prose or a mistake."""

_LATIN = re.compile(r"[A-Za-z\u00c0-\u024f]")
_LETTER = re.compile(r"[^\W\d_]")
_NAME_COLUMNS = ("term", "name", "part", "part name", "description", "item", "component", "designation", "title")
_NUMBERED = re.compile(r"\S*\d\S*")
_SHOWN = 40


def _read_text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise WitnessmarkError(f"cannot read term list {path}: {error.strerror}; check the name of the file") from error
    except UnicodeDecodeError as error:
        raise WitnessmarkError(f"term list {path} is not UTF-8 text; save it as UTF-8 and try again") from error


def _finding(level: str, rule: str, message: str) -> Finding:
    return Finding("check" if level == "check" else "note", rule, message, 0)


def _sift(lines: Iterable[tuple[int, str]]) -> tuple[list[str], list[Finding]]:
    """Names worth having, and what is wrong with the other lines."""
    names: dict[str, str] = {}
    findings: list[Finding] = []
    doubled = 0
    for number, line in lines:
        name = " ".join(line.split())
        if not name or name.startswith("#"):
            continue
        shown = name if len(name) <= _SHOWN else name[:_SHOWN] + "…"
        if len(name) > LONGEST_TERM:
            text = f"line {number} is {len(name)} characters long, too long for a term; left out: {shown}"
            findings.append(_finding("check", "term_too_long", text))
        elif not _LATIN.search(name):
            why = "in another alphabet" if _LETTER.search(name) else "without a letter"
            findings.append(_finding("check", "term_not_sayable", f"line {number} is {why}; left out: {shown}"))
        elif name.lower() in names:
            doubled += 1
        else:
            names[name.lower()] = name
    if doubled:
        text = f"{doubled} line{'s are' if doubled > 1 else ' is'} the same as an earlier one; left out"
        findings.append(_finding("note", "term_twice", text))
    return list(names.values()), findings


def list_vocabulary(names: Iterable[str], pack: str = "list") -> Vocabulary:
    """A vocabulary of plain names; their plurals are regular."""
    terms = [Term(name, (name,), "", regular_plural(name), "part", "", "", pack) for name in names]
    return Vocabulary(tuple(terms), {}, {})


def read_term_list(path: Path) -> tuple[Vocabulary, list[Finding]]:
    """Terms of a text file, one a line; empty lines and lines that start with # are skipped.

    Raises:
        WitnessmarkError: the file cannot be read, or nothing in it is a term.
    """
    names, findings = _sift(enumerate(_read_text(path).splitlines(), 1))
    if not names:
        raise WitnessmarkError(f"term list {path} holds no term; write one term a line")
    return list_vocabulary(names, path.stem), findings


def _spoken(cell: str) -> str:
    """How a workshop says an entry of a parts list.

    >>> _spoken("BOLT, BANJO M10x1.0 (see note)"), _spoken("Gudgeon pin"), _spoken("GASKET; cylinder head")
    ('banjo bolt', 'Gudgeon pin', 'cylinder head gasket')
    """
    text = re.sub(r"\([^)]*\)|\[[^]]*\]", " ", cell)
    if text.isupper() or not text.islower():
        text = " ".join(word.lower() if word.isupper() and len(word) > 3 else word for word in text.split())
    noun, _, detail = (piece.strip() for piece in text.replace(";", ",").partition(","))
    if detail and "," not in detail and len(noun.split()) == 1:
        text = f"{detail} {noun}"
    words = [word for word in _NUMBERED.sub(" ", text.replace(",", " ")).split() if _LETTER.search(word)]
    return " ".join(words)


def read_parts_csv(path: Path, column: str = "") -> tuple[list[str], list[Finding]]:
    """Names of the parts of a parts list, as they would be said.

    `column` names the column; without it the first one whose heading is a usual one (name, part, description ...).

    Raises:
        WitnessmarkError: the file cannot be read, or no column holds names.
    """
    text = _read_text(path)
    try:
        dialect: type[csv.Dialect] | csv.Dialect = csv.Sniffer().sniff(text[:4096], delimiters=",;\t|")
    except csv.Error:
        dialect = csv.excel
    rows = list(csv.reader(io.StringIO(text), dialect))
    heading = [cell.strip().lower() for cell in rows[0]] if rows else []
    wanted = [column.lower()] if column else list(_NAME_COLUMNS)
    place = next((heading.index(name) for name in wanted if name in heading), None)
    if place is None:
        there = ", ".join(heading) or "none"
        raise WitnessmarkError(f"{path} has no column of part names; say which with --column (there are: {there})")
    cells = ((n, _spoken(row[place])) for n, row in enumerate(rows[1:], 2) if place < len(row))
    return _sift(cells)
