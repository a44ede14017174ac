"""Signs that something is left open (vocab/events/signs.toml), and the clauses they stand in."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from pipeline.errors import WitnessmarkError
from pipeline.events.phrase import Scan
from pipeline.events.reading import COMMA, SENTENCE
from pipeline.resources import resource_folder

# These open a clause of their own; the words of the second group only where somebody or something acts after them.
_OPENERS = frozenset((
    "but", "so", "because", "cause", "cos", "until", "till", "til", "when", "once", "if", "unless", "though",
    "although", "whereas", "which", "while", "whilst", "then",
))  # fmt: skip
_LINKS = frozenset(("and", "as", "since", "or", "for", "before", "after", "that"))
_ACTS = frozenset((
    "is", "are", "'s", "was", "were", "has", "have", "had", "will", "shall", "'ll", "can", "must", "needs", "need",
    "wants", "want", "gets", "get", "got", "goes", "comes", "does", "did", "do", "would", "should", "am", "be",
))  # fmt: skip
_SUBJECTS = frozenset((
    "i", "we", "it", "they", "there", "that", "he", "she", "this", "those", "these", "both", "you", "nothing", "none",
    "nobody",
))  # fmt: skip
# A new speaker's turn of thought where nobody wrote punctuation.
_TURNS = frozenset(("i", "we", "there", "now", "next", "right", "then", "so"))
_NO_TURN = frozenset((
    "and", "but", "so", "because", "that", "which", "if", "when", "once", "until", "till", "as", "what", "where",
    "than", "before", "after", "since", "while", "have", "did", "do", "will", "can", "am", "was", "should", "in",
    "out", "the", "not", "for", "how", "is", "are", "then", "or", "whatever", "just", "up", "from", "to", "over", "on",
))  # fmt: skip


@dataclass(frozen=True, slots=True)
class Clause:
    """Units `start`..`end` (half-open) of one statement; `sentence` numbers the sentences."""

    start: int
    end: int
    sentence: int


@dataclass(frozen=True, slots=True)
class Sign:
    """`kind` of loose end that it speaks for or "context", how strongly, and its pattern over a clause's words."""

    kind: str
    strength: float
    pattern: re.Pattern[str]


@cache
def _read() -> dict[str, Any]:
    path = resource_folder("vocab") / "events" / "signs.toml"
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise WitnessmarkError(f"cannot read {path}: {error}; mend the file") from error


@cache
def load_stuff(name: str) -> frozenset[str]:
    """A list of [stuff]: last words of names."""
    return frozenset(_read()["stuff"][name])


@cache
def load_signs() -> Mapping[str, Sign]:
    """Every sign by name.

    Raises:
        WitnessmarkError: the file cannot be read, or a phrase names a group of words that does not exist.
    """
    data = dict(_read())
    groups: dict[str, list[str]] = data.pop("words")
    del data["source"], data["stuff"]
    return {
        name: Sign(
            kind, row["strength"], re.compile(" (?:" + "|".join(_pattern(p, groups) for p in row["phrases"]) + ")")
        )
        for kind, signs in data.items()
        for name, row in signs.items()
    }


def _pattern(phrase: str, groups: Mapping[str, Sequence[str]]) -> str:
    pieces = []
    for word in phrase.split():
        if word == "*":
            pieces.append(r"(?:[^ ]+ ){0,3}")
            continue
        optional = word.endswith("?")
        choices: list[str] = []
        for choice in word.removesuffix("?").split("|"):
            name = choice[1:-1] if choice.startswith("{") else ""
            if name and name not in groups:
                raise WitnessmarkError(
                    f"no group of words called {name!r} in signs.toml; there are: {', '.join(groups)}"
                )
            choices += groups[name] if name else [choice]
        plain = "|".join(re.escape(choice).replace(r"\*", "[^ ]+") for choice in choices)
        pieces.append(f"(?:(?:{plain}) )?" if optional else f"(?:{plain}) ")
    return "".join(pieces)


def clauses_of(scan: Scan) -> list[Clause]:
    """The clauses of a text in order; they cover it without gaps."""
    clauses: list[Clause] = []
    start = sentence = 0
    for at in range(1, len(scan.text) + 1):
        if at < len(scan.text) and not _opens(scan, at, start):
            continue
        clauses.append(Clause(start, at, sentence))
        start = at
        sentence += at < len(scan.text) and scan.gap[at] == SENTENCE
    return clauses


def _opens(scan: Scan, at: int, start: int) -> bool:
    word = scan.text[at]
    if scan.gap[at] >= COMMA:
        return True
    if word in _OPENERS:
        return at - start > 1 and scan.text[at + 1 : at + 2] not in (["far"], ["much"], ["that"], ["long"])
    if word in _LINKS:
        return at - start > 1 and _acts(scan, at + 1)
    return scan.bare and word in _TURNS and at - start > 2 and scan.text[at - 1] not in _NO_TURN


def _acts(scan: Scan, at: int) -> bool:
    """True where somebody or something acts right here: "and it has", "as the bar comes off"."""
    if at >= len(scan.text):
        return False
    phrase = scan.starting.get(at)
    end = phrase.end if phrase is not None else at + 1
    if phrase is None and scan.text[at] not in _SUBJECTS:
        return False
    return scan.text[end : end + 1] != [] and (scan.text[end] in _ACTS or end in scan.verbs)


class SignReader:
    """Which signs stand in which clause of one text."""

    def __init__(self, scan: Scan) -> None:
        self.clauses = clauses_of(scan)
        self.signs: list[dict[str, int]] = [_signs(scan.text, clause) for clause in self.clauses]


def _signs(text: Sequence[str], clause: Clause) -> dict[str, int]:
    """The unit at which each sign of a clause starts first."""
    words = " " + " ".join(text[clause.start : clause.end]) + " "
    found = {}
    for name, sign in load_signs().items():
        match = sign.pattern.search(words)
        if match:
            found[name] = clause.start + words[: match.start()].count(" ")
    return found
