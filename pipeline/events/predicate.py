"""The record of a verb group, and small questions about verb forms."""

from __future__ import annotations

from dataclasses import dataclass, field

from pipeline.events.phrase import Phrase
from pipeline.events.rules import Rules

# Before these a form is a participle: "has fitted", "is fitting", "gets fitted".
_BEFORE_PARTICIPLE = frozenset(
    [
        "have",
        "has",
        "had",
        "having",
        "be",
        "is",
        "are",
        "was",
        "were",
        "been",
        "being",
        "'s",
        "am",
        "got",
        "get",
        "gets",
    ]
)
_HELPERS = _BEFORE_PARTICIPLE | frozenset(
    ["'d", "will", "would", "shall", "should", "can", "could", "may", "might", "must", "do", "does", "did", "to", "let"]
)


@dataclass(slots=True)
class Predicate:
    """One verb group over units. `action` is "" for verbs that only carry the clause on.

    `start` is where its subject starts, `group` the verb group (auxiliaries and all), `verb` the verb itself, `end`
    the end of the verb with its particle and objects. `form` is base, s, past, pp or ing; `voice` active, passive,
    middle, state, verbless or other. `status` and `trigger` are filled by the scope rules.
    `doubt` names the proposal that the rules alone would not believe.
    """

    start: int
    group: int
    verb: int
    end: int
    action: str
    form: str = ""
    voice: str = "active"
    lemma: str = ""
    subject: Phrase | None = None
    objects: list[Phrase] = field(default_factory=list)
    linked: bool = False
    said_as: str = ""
    fluid: str = ""
    finish: str = ""
    condition: str = ""
    destination: bool = False
    finish_end: int = 0
    elided: bool = False
    ambiguous: bool = False
    status_told: str = ""
    doubt: str = ""
    lemma_before: str = ""
    provisional_with: Phrase | None = None
    status: str = ""
    trigger: str = ""


def form_of(tags: frozenset[str], chain: list[str], subject: str) -> str:
    """The form of the verb where its spelling leaves a choice."""
    if len(tags) == 1:
        return next(iter(tags))
    helpers = [word for word in chain if word in _HELPERS]
    last = helpers[-1] if helpers else ""
    if last in _BEFORE_PARTICIPLE:
        return "pp" if "pp" in tags else "ing" if "ing" in tags else "base"
    if last == "'d":
        return "pp" if "base" not in tags else "past"
    if last:
        return "base" if "base" in tags else next(iter(sorted(tags)))
    if "past" in tags and not (subject == "you" and "base" in tags):
        return "past"
    return "base" if "base" in tags else next(iter(sorted(tags)))


def last_of(chain: list[str], wanted: frozenset[str], helpers: frozenset[str]) -> str:
    """The last helping verb of the chain if it is one of `wanted`, else ""."""
    for word in reversed(chain):
        if word in helpers:
            return word if word in wanted else ""
        if word == "to":
            return ""
    return ""


def participle_of(words: str, rules: Rules) -> str:
    """The finish that a coating verb leaves: "paint" and "painting" leave "painted"."""
    for form in (words, words + "ed", words + "d"):
        hit = rules.finish["process"].at(form.split(), 0)
        if hit and hit[0] == len(form.split()):
            return form
    stem = words[:-3] if words.endswith("ing") else words
    for form in (stem + "ed", stem + "d"):
        hit = rules.finish["process"].at(form.split(), 0)
        if hit:
            return form
    return ""
