"""What each verb group might be about: every part near it is an option, the one the sentence rules chose among them."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.reading import SENTENCE
from pipeline.events.rules import Rules

BEFORE, AFTER = 70, 14
_MOST_BEFORE, _MOST_AFTER = 8, 4
_JOINTS = frozenset(("and", "plus", "then", "or", "with", "by", "also", "new", "fresh"))
LOOSE = ("substance", "by hand", "figure")
"""Voices of what is told without a verb and without saying of which part."""
_BY_HAND = (
    ("finger", "tight"), ("fingertight",), ("hand", "tight"), ("by", "hand"), ("fingers",), ("finger",),
    ("loosely",), ("just", "nipped"), ("just", "caught"), ("slack",),
)  # fmt: skip
_ONTO = frozenset(
    (
        "on",
        "onto",
        "over",
        "behind",
        "round",
        "around",
        "under",
        "across",
        "between",
        "in",
        "inside",
        "to",
        "along",
        "at",
    )
)
_NOT_IMPLIED = frozenset(("tool", "measure", "finish", "material"))


@dataclass(slots=True)
class Option:
    """A part that a predicate may be about. `chosen` tells how the rules chose it, "" where they did not."""

    part: Phrase
    chosen: str = ""
    recency: int = 0


def options_of(
    predicate: Predicate, chosen: list[Phrase], scan: Scan, parts: Sequence[Phrase], far: Sequence[Phrase] = ()
) -> list[Option]:
    """The parts that the rules chose, then every other part nearby, the nearest first, then those from `far`.

    `parts` are the named parts of the scan in order. Proposals that are about one part only have no other option.
    """
    found = [Option(part, _way(predicate, part)) for part in chosen]
    if chosen and (predicate.doubt or predicate.voice == "implied"):
        return found
    starts = {part.start for part in chosen}
    names = {part.name for part in chosen}
    at = bisect_left(parts, predicate.verb, key=_start)
    first = bisect_left(parts, predicate.verb - BEFORE, key=_start)
    last = bisect_left(parts, _sentence_end(predicate, scan), key=_start)
    for limit, phrases in ((_MOST_AFTER, parts[at:last]), (_MOST_BEFORE, parts[first:at][::-1])):
        recency = 0
        for phrase in phrases:
            if phrase.start in starts or phrase.name in names:
                continue
            names.add(phrase.name)
            recency += 1
            found.append(Option(phrase, "", recency))
            if recency >= limit:
                break
    for phrase in far:
        if predicate.voice == "figure" and phrase.start >= _sentence_end(predicate, scan):
            continue
        if phrase.start not in starts and phrase.name not in names:
            names.add(phrase.name)
            found.append(Option(phrase, "", _MOST_BEFORE + 1))
    return found


def without_fuller_names(decided: list[tuple[int, str]], options: Sequence[Option]) -> list[tuple[int, str]]:
    """ "the half shaft seal was leaking, so I hooked the seal out": one seal came out, by the name it has there."""
    said = [options[index].part.name for index, _ in decided if options[index].chosen == "named"]
    return [
        (index, status) for index, status in decided
        if options[index].chosen == "named" or not any(options[index].part.name.endswith(f" {name}") for name in said)
    ]  # fmt: skip


def without_earlier(
    decided: list[tuple[int, str]], options: Sequence[Option], predicate: Predicate, others: Sequence[Predicate]
) -> list[tuple[int, str]]:
    """ "I'll sort that spring another day, I've not put the hammer back": whoever names what he worked on there did not
    mean what a verb before was said of."""
    named = any(option.chosen == "named" and option.part.start >= predicate.verb for option in options)
    own = predicate.subject is not None and predicate.subject.kind == "person" and predicate.voice == "active"
    if not (named and own):
        return decided
    return [
        (index, status) for index, status in decided
        if options[index].chosen or not _told_before(options[index].part, predicate, others)
    ]  # fmt: skip


def _told_before(part: Phrase, predicate: Predicate, others: Sequence[Predicate]) -> bool:
    """Whether a verb before the predicate was said of the part."""
    return any(
        other.action and other.verb < predicate.start and any(told.start == part.start for told in other.objects)
        for other in others
    )


def _sentence_end(predicate: Predicate, scan: Scan) -> int:
    """How far on a part may stand: what a figure alone tells is of no part that only the next sentence names."""
    end = min(predicate.end + AFTER, len(scan.gap))
    if predicate.voice != "figure":
        return predicate.end + AFTER
    return next((at for at in range(predicate.end, end) if scan.gap[at] >= SENTENCE), end)


def _start(phrase: Phrase) -> int:
    return phrase.start


def _way(predicate: Predicate, part: Phrase) -> str:
    """How the rules came to the part: named with the verb, by a pronoun, or told elsewhere."""
    if any(part.start == told.start and told.is_part for told in predicate.objects):
        return "named"
    if any(told.is_pronoun for told in predicate.objects):
        return "pronoun"
    return "elsewhere" if not predicate.objects else "container"


def implied(rules: Rules, scan: Scan, predicates: list[Predicate]) -> Iterator[Predicate]:
    """Parts told without a verb of their own: "with a new gasket", "circlip, washer, spring"; no rule believes them."""
    taken = {
        part.start
        for predicate in predicates if predicate.action
        for part in (*predicate.objects, *([predicate.subject] if predicate.subject else []))
    }  # fmt: skip
    place, last = 0, None
    for phrase in scan.phrases:
        if not phrase.is_part or phrase.start in taken or phrase.kind in _NOT_IMPLIED:
            continue
        before = scan.text[phrase.start - 1] if phrase.start else ""
        if not (scan.gap[phrase.start] or before in _JOINTS):
            continue
        while place < len(predicates) and predicates[place].verb < phrase.start:
            last = predicates[place] if predicates[place].action else last
            place += 1
        actions = ["fit"]
        if last is not None and last.action != "fit" and phrase.start - last.verb < 40:
            actions.append(last.action)
        for action in actions:
            yield Predicate(
                phrase.start, phrase.start, phrase.start, phrase.end, action, "", "implied", "", None, [phrase],
                said_as=f"{before} {phrase.name}" if before == "with" else phrase.name, status="none",
                trigger="no verb", lemma_before=before,
            )  # fmt: skip


def told_loosely(rules: Rules, scan: Scan, predicates: list[Predicate]) -> Iterator[Predicate]:
    """Grease, a torque or "finger tight" said without a verb that takes them; the part is somewhere near."""
    fluids = {predicate.fluid for predicate in predicates if predicate.action and predicate.fluid}
    taken = {part.start for predicate in predicates if predicate.action for part in predicate.objects}
    spans = [(p.start, p.end + 2) for p in predicates if p.action in ("torque", "tighten")]
    for phrase in scan.phrases:
        if not phrase.is_part or phrase.start in taken or phrase.name in fluids:
            continue
        words = phrase.name.lower().split()
        for at in range(len(words)):
            hit = rules.substance_on.at(words, at)
            if hit and hit[0] == len(words):
                yield Predicate(
                    phrase.start, phrase.start, phrase.start, phrase.end, hit[1], "", "substance", "", None,
                    _target(scan, phrase.end), said_as=phrase.name, fluid=phrase.name, status="none", trigger="no verb",
                )  # fmt: skip
                break
    for start in sorted(scan.torques):
        if not any(first <= start < end for first, end in spans):
            end = scan.figures[start]
            yield Predicate(
                start, start, start, end, "torque", "", "figure", "", None, _nearest(scan, start),
                said_as="a torque figure", status="none", trigger="no verb",
            )  # fmt: skip
    for at in range(len(scan.text)):
        said = next((words for words in _BY_HAND if tuple(scan.text[at : at + len(words)]) == words), None)
        if said:
            yield Predicate(
                at, at, at, at + len(said), "tighten", "", "by hand", "", None, _nearest(scan, at),
                said_as=" ".join(said), status="none", trigger="no verb",
            )  # fmt: skip


def _target(scan: Scan, at: int) -> list[Phrase]:
    """ "a smear of grease on the lip": the lip."""
    if at + 1 >= len(scan.text) or scan.gap[at] or scan.text[at] not in _ONTO:
        return []
    phrase = scan.starting.get(at + 1)
    return [phrase] if phrase is not None and phrase.is_part else []


def _nearest(scan: Scan, at: int) -> list[Phrase]:
    """The fastener named last in the sentence, as in "nuts on, finger tight"."""
    for before in range(at, max(0, at - 12), -1):
        phrase = scan.ending.get(before)
        if phrase is not None and phrase.kind == "fastener":
            return [phrase]
        if scan.gap[before] >= SENTENCE:
            break
    return []
