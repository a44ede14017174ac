"""Reads vocab/events/*.toml into look-up tables. All meaning is there; here is only the shape."""

from __future__ import annotations

import tomllib
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import product
from typing import Any, Generic, TypeVar

from pipeline.errors import WitnessmarkError
from pipeline.events.inflect import verb_forms
from pipeline.events.reading import split_word
from pipeline.numbers.words import ONES, TENS, ZEROS, says_number
from pipeline.reader.reading import ACTIONS as READ_ACTIONS
from pipeline.resources import resource_folder

ACTIONS = frozenset(READ_ACTIONS)
FILES = ("grammar", "verbs", "parts", "status", "cues")
Value = TypeVar("Value")


class PhraseTable(Generic[Value]):
    """Word sequences with a value; `at` finds the longest one that starts at a place.

    Keys are split as spoken text is ("driver's side" is three words); "a|b" in a key stands for either word.
    """

    def __init__(self, entries: Iterable[tuple[str, Value]]) -> None:
        self._by_first: dict[str, list[tuple[tuple[str, ...], Value]]] = {}
        for key, value in entries:
            choices = [list(word.split("|")) for word in key.split()]
            for words in product(*choices):
                split = tuple(piece for word in words for piece in split_word(word))
                self._by_first.setdefault(split[0], []).append((split, value))
        for rows in self._by_first.values():
            rows.sort(key=lambda row: -len(row[0]))

    def at(self, text: Sequence[str], start: int) -> tuple[int, Value] | None:
        """(end, value) of the longest entry at `start`, or None."""
        if start >= len(text):
            return None
        for words, value in self._by_first.get(text[start], ()):
            end = start + len(words)
            if end <= len(text) and tuple(text[start:end]) == words:
                return end, value
        return None


class CountTable(PhraseTable[int]):
    """How many there are: the words of the data, and every count up to ninety-nine that is said in two."""

    def __init__(self, entries: Iterable[tuple[str, int]]) -> None:
        said = [(f"{ten} {one}", tens + ones) for ten, tens in TENS.items() for one, ones in ONES.items()]
        super().__init__([*dict([*said, *entries]).items()])

    def at(self, text: Sequence[str], start: int) -> tuple[int, int] | None:
        """As of any table; "sixty two oh five bearing" is a number that goes on, and no count."""
        hit = super().at(text, start)
        if start > 1 and text[start - 1] in ZEROS and says_number(text[start - 2]):
            return None
        if hit and text[start] in TENS and hit[0] < len(text) and says_number(text[hit[0]]):
            return None
        return hit


@dataclass(frozen=True, slots=True)
class Verb:
    """One reading of a verb form: its plain form and the tags base, s, past, pp, ing."""

    lemma: str
    tags: frozenset[str]


@dataclass(frozen=True, slots=True)
class Sense:
    """What a verb means of certain parts or beside certain words; an empty list asks for nothing."""

    verbs: frozenset[str]
    given: frozenset[str]
    heads: frozenset[str]
    near: frozenset[str]
    means: str

    def fits(self, verb: str, action: str, head: str, words: Collection[str]) -> bool:
        """True where the verb has this sense: `head` ends the part's name, `words` follow the verb."""
        return (
            verb in self.verbs
            and (not self.given or action in self.given)
            and (not self.heads or head in self.heads)
            and (not self.near or not self.near.isdisjoint(words))
        )


@dataclass(frozen=True)
class Rules:
    """Everything read from vocab/events/, ready to look up."""

    words: Mapping[str, frozenset[str]]
    numbers: CountTable
    verbs: PhraseTable[tuple[Verb, ...]]
    bases: frozenset[str]
    plain: Mapping[str, str]
    motion: Mapping[str, str]
    phrasal: Mapping[str, PhraseTable[str]]
    particles: PhraseTable[str]
    states: PhraseTable[str]
    light: PhraseTable[str]
    substance_on: PhraseTable[str]
    substance_in: PhraseTable[str]
    tool_over: PhraseTable[str]
    applying_on: PhraseTable[bool]
    applying_in: PhraseTable[bool]
    measures: PhraseTable[bool]
    side: PhraseTable[str]
    position: PhraseTable[str]
    condition: PhraseTable[str]
    of_the_old: frozenset[str]
    finish: Mapping[str, PhraseTable[bool]]
    tool_heads: PhraseTable[bool]
    fastening_cues: PhraseTable[bool]
    fastening_heads: frozenset[str]
    before: PhraseTable[str]
    after: PhraseTable[str]
    left_to_do: PhraseTable[bool]
    left_heading: PhraseTable[bool]
    job_nouns: Mapping[str, str]
    put_off: PhraseTable[str]
    did_so: PhraseTable[bool]
    pleased: PhraseTable[bool]
    past_phrases: PhraseTable[bool]
    past_people: PhraseTable[bool]
    past_ends: PhraseTable[bool]
    question_tags: PhraseTable[bool]
    question_openers: PhraseTable[bool]
    one_clause: frozenset[str]
    adjacent: frozenset[str]
    to_words: frozenset[str]
    ing_words: frozenset[str]
    middle: frozenset[str]
    unless: Mapping[str, PhraseTable[bool]]
    verb_condition: Mapping[str, str]
    verb_status: Mapping[str, str]
    doing: Mapping[str, str]
    adjusting_verbs: frozenset[str]
    adjusting_heads: tuple[str, ...]
    cues: Mapping[str, PhraseTable[bool]]
    senses: tuple[Sense, ...]


def read_tables() -> dict[str, Any]:
    """The merged tables of the event files of vocab/events/, by their headings.

    Raises:
        WitnessmarkError: a file is not valid TOML, or a verb has an action that does not exist.
    """
    tables: dict[str, Any] = {}
    for name in FILES:
        path = resource_folder("vocab") / "events" / f"{name}.toml"
        try:
            data = tomllib.loads(path.read_text(encoding="utf-8"))
        except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
            raise WitnessmarkError(f"cannot read {path}: {error}; mend the file") from error
        data.pop("source", None)
        tables.update(data)
    for heading in ("plain", "phrasal", "motion", "particles", "states", "light", "doing"):
        for key, action in tables[heading].items():
            if action and action not in ACTIONS:
                raise WitnessmarkError(
                    f"no action called {action!r} (at {key!r}, [{heading}]); there are: {', '.join(sorted(ACTIONS))}"
                )
    for row in tables["senses"]:
        if row["means"] and row["means"] not in ACTIONS:
            raise WitnessmarkError(
                f"no action called {row['means']!r} ([[senses]]); there are: {', '.join(sorted(ACTIONS))}"
            )
    return tables


def _set(words: Iterable[str]) -> PhraseTable[bool]:
    return PhraseTable((word, True) for word in words)


def _joined(verb: str) -> str:
    return split_word(verb)[0] if verb.startswith("re-") else verb


def _sense(row: Mapping[str, Any]) -> Sense:
    verbs, given, heads, near = (frozenset(row.get(key, ())) for key in ("verbs", "from", "heads", "near"))
    return Sense(verbs, given, heads, near, row["means"])


@cache
def load_rules() -> Rules:
    """The rules, read once."""
    data = read_tables()
    plain = {_joined(verb): action for verb, action in data["plain"].items()}
    plain |= {f"re{verb}": action for verb, action in plain.items() if " " not in verb and f"re{verb}" not in plain}
    phrasal: dict[str, list[tuple[str, str]]] = {}
    for key, action in data["phrasal"].items():
        verb, _, particle = key.partition(" ")
        phrasal.setdefault(verb, []).append((particle, action))
    lemmas = dict.fromkeys(
        [
            *plain,
            *data["motion"],
            *phrasal,
            *data["other"]["verbs"],
            *data["applying"]["verbs"],
            *data["giving"]["verbs"],
            *data["giving"]["getting"],
        ]
    )
    readings: dict[str, dict[str, set[str]]] = {}
    for lemma in lemmas:
        head, _, last = lemma.rpartition(" ")
        for form, tags in verb_forms(last, data["irregular"]).items():
            readings.setdefault(f"{head} {form}".strip(), {}).setdefault(lemma, set()).update(tags)
    words = {key: frozenset(value) for key, value in data.items() if isinstance(value, list) and key != "senses"}
    words["other"] = frozenset(data["other"]["verbs"])
    words["measures"] = frozenset(data["applying"]["measures"])
    words["applying"] = frozenset(data["applying"]["verbs"])
    words["giving"] = frozenset(data["giving"]["verbs"])
    words["getting"] = frozenset(data["giving"]["getting"])
    return Rules(
        words=words,
        numbers=CountTable(data["numbers"].items()),
        verbs=PhraseTable(
            (form, tuple(Verb(lemma, frozenset(tags)) for lemma, tags in rows.items()))
            for form, rows in readings.items()
        ),
        bases=frozenset(lemma for lemma in [*plain, *data["motion"]] if " " not in lemma),
        plain=plain,
        motion=data["motion"],
        phrasal={verb: PhraseTable(rows) for verb, rows in phrasal.items()},
        particles=PhraseTable(data["particles"].items()),
        states=PhraseTable(data["states"].items()),
        light=PhraseTable(data["light"].items()),
        substance_on=PhraseTable(data["substance_on"].items()),
        substance_in=PhraseTable(data["substance_in"].items()),
        tool_over=PhraseTable(data["tool_over"].items()),
        applying_on=_set(data["applying"]["on"]),
        applying_in=_set(data["applying"]["in"]),
        measures=_set(data["applying"]["measures"]),
        side=PhraseTable(data["side"].items()),
        position=PhraseTable(data["position"].items()),
        condition=PhraseTable(data["condition"].items()),
        of_the_old=frozenset(data["of_the_old_part"]),
        finish={key: _set(value) for key, value in data["finish"].items()},
        tool_heads=_set(data["tool"]["heads"]),
        fastening_cues=_set(data["fastening"]["cues"]),
        fastening_heads=frozenset(data["fastening"]["heads"]),
        before=PhraseTable(data["before"].items()),
        after=PhraseTable(data["after"].items()),
        left_to_do=_set(data["left_to_do"]["phrases"]),
        left_heading=_set(data["left_heading"]["phrases"]),
        job_nouns=data["job_nouns"],
        put_off=PhraseTable(data["put_off"].items()),
        did_so=_set(data["borne_out"]["did_so"]),
        pleased=_set(data["borne_out"]["pleased"]),
        past_phrases=_set(data["past"]["phrases"]),
        past_people=_set(data["past"]["people"]),
        past_ends=_set(data["past"]["ends"]),
        question_tags=_set(data["questions"]["tags"]),
        question_openers=_set(data["questions"]["openers"]),
        one_clause=frozenset(data["scope"]["one_clause"]),
        adjacent=frozenset(data["scope"]["adjacent"]),
        to_words=frozenset(data["scope"]["to_words"]),
        ing_words=frozenset(data["scope"]["ing_words"]),
        middle=frozenset(data["middle"]["verbs"]),
        unless={verb: _set(words) for verb, words in data["unless"].items()},
        verb_condition=data["verb_condition"],
        verb_status=data["verb_status"],
        doing=data["doing"],
        adjusting_verbs=frozenset(data["adjusting"]["verbs"]),
        adjusting_heads=tuple(data["adjusting"]["heads"]),
        cues={key: _set(value) for key, value in data["cues"].items()},
        senses=tuple(_sense(row) for row in data["senses"]),
    )
