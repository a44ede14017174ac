"""Verbs of the workshop that were heard as other words ("talked to 25 newton metres"), where those make no sense.

The vocabulary holds names; what is done to them is plain English to it, and "talked" is an ordinary word. What stands
around it tells.
"""

from __future__ import annotations

import tomllib
from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from pipeline.correct.forms import heard_key
from pipeline.correct.put_beside import put_beside
from pipeline.correct.rewrite import written_form
from pipeline.numbers.words import NUMBER_WORDS
from pipeline.records import Correction, Word
from pipeline.tokens import bare, ends_sentence

_DATA = Path(__file__).resolve().parent.parent / "data" / "spoken_verbs.toml"
_SURE, _ASKED = 0.95, 0.7
_UNIT_WITHIN = 3


@dataclass(frozen=True, slots=True)
class _Verb:
    meant: str
    where: tuple[str, ...]
    units: frozenset[str]
    near: frozenset[str]
    sure: bool


@dataclass(frozen=True, slots=True)
class _Data:
    """`verbs`: those that may be meant, by the words heard; the other fields as the file tells."""

    verbs: dict[tuple[str, ...], tuple[_Verb, ...]]
    within: int
    objects: frozenset[str]
    not_with: frozenset[str]
    doers: frozenset[str]
    worked_on: frozenset[str]
    before_a_noun: frozenset[str]


@cache
def _data() -> _Data:
    data = tomllib.loads(_DATA.read_text(encoding="utf-8"))
    verbs: dict[tuple[str, ...], tuple[_Verb, ...]] = {}
    for entry in data["verb"]:
        units = frozenset(data["units"][entry["units"]] if "units" in entry else ())
        near = frozenset(entry.get("near", ()))
        verb = _Verb(entry["meant"], tuple(entry["where"]), units, near, entry.get("sure", False))
        for text in entry["heard"]:
            key = tuple(text.split())
            verbs[key] = (*verbs.get(key, ()), verb)
    names = ("objects", "not_with", "doers", "worked_on", "before_a_noun")
    return _Data(verbs, data["within"], *(frozenset(data[name]) for name in names))


@dataclass(frozen=True, slots=True)
class _Place:
    """Words of one sentence: those `before` the words heard, and those `after`."""

    before: tuple[str, ...]
    after: tuple[str, ...]


def garbled_verbs(words: Sequence[Word]) -> Iterator[Correction]:
    """A correction for each verb that was heard as something else, in order of place."""
    texts = [bare(word.text) for word in words]
    for start in range(len(words)):
        for end in (start + 2, start + 1):
            verbs = _data().verbs.get(tuple(texts[start:end]), ())
            if verbs and not any(ends_sentence(word.text) for word in words[start : end - 1]):
                place = _place(words, texts, start, end)
                verb = next((verb for verb in verbs if any(_fits(frame, verb, place) for frame in verb.where)), None)
                if verb is not None:
                    yield _correction(words, start, end, verb)
                    break


def is_verb(text: str) -> bool:
    """Whether it is one of the verbs that words are taken for here."""
    return any(verb.meant == text.lower() for verbs in _data().verbs.values() for verb in verbs)


def with_verbs(
    words: Sequence[Word], corrections: Sequence[Correction], rejected: Container[tuple[str, str]]
) -> list[Correction]:
    """The corrections with those of verbs; what was made without asking stays, what was not gives way.

    `rejected`: what the user has said was never meant, as (heard, meant).
    """

    def is_wanted(verb: Correction) -> bool:
        return (heard_key(verb.heard.split()), bare(verb.written)) not in rejected

    return put_beside(corrections, garbled_verbs(words), is_wanted)


def _place(words: Sequence[Word], texts: list[str], start: int, end: int) -> _Place:
    first, last = start, end - 1
    while first > 0 and not ends_sentence(words[first - 1].text):
        first -= 1
    while last < len(words) - 1 and not ends_sentence(words[last].text):
        last += 1
    return _Place(tuple(texts[first:start]), tuple(texts[end : last + 1]))


def _fits(frame: str, verb: _Verb, place: _Place) -> bool:
    data = _data()
    led, followed = "".join(place.before[-1:]), "".join(place.after[:1])
    match frame:
        case "everywhere":
            return True
        case "figure":
            return _has_figure(place.after, verb.units)
        case "object":
            return followed in data.objects and not data.not_with & {*place.after[1:3]}
        case "done":
            return led in data.doers and (not followed or followed in data.worked_on)
        case "no_noun":
            return led not in data.before_a_noun
        case "near":
            return bool(verb.near & {*place.before})
        case _:
            raise ValueError(f"spoken_verbs.toml has no frame {frame!r}")


def _has_figure(after: Sequence[str], units: frozenset[str]) -> bool:
    number = next((at for at, word in enumerate(after[: _data().within + 1]) if _is_number(word)), None)
    return number is not None and bool(units & {*after[number : number + 1 + _UNIT_WITHIN]})


def _is_number(word: str) -> bool:
    return word[:1].isdigit() or any(part in NUMBER_WORDS for part in word.split("-"))


def _correction(words: Sequence[Word], start: int, end: int, verb: _Verb) -> Correction:
    stretch = words[start:end]
    return Correction(
        start_word=start,
        end_word=end,
        heard=" ".join(word.text for word in stretch),
        written=written_form(stretch, verb.meant, False),
        score=_SURE if verb.sure else _ASKED,
        decision="auto" if verb.sure else "ask",
        why="is often heard for this verb, and makes no sense here",
    )
