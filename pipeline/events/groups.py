"""Verb groups: how far the auxiliaries reach back, and which phrases are the subject."""

from __future__ import annotations

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.reading import COMMA, PAUSE
from pipeline.events.readings import FinishAt, VerbReader
from pipeline.events.rules import Rules

_ATTACHING = frozenset(
    ("on", "of", "for", "in", "at", "inside", "between", "behind", "under", "near", "around", "from", "to")
)


class GroupSearch:
    """What every search for predicates needs."""

    def __init__(self, rules: Rules, scan: Scan, finish_at: FinishAt) -> None:
        self._rules, self._scan, self._finish_at = rules, scan, finish_at
        self._reader = VerbReader(rules, scan, finish_at)
        words = rules.words
        self._aux = words["be"] | words["have"] | words["get"] | words["do"] | words["modals"]
        self._told = words["be"] | words["have"] | words["get"]
        self._found: list[Predicate] = []
        self._groups = {verb: self._group_start(verb) for verb in scan.verbs}
        self._inner = {inner for verb, group in self._groups.items() for inner in range(group, verb)}
        self._topics: set[int] = set()
        self._causative: dict[int, Predicate] = {}

    def _limit(self) -> int:
        return self._found[-1].end if self._found else 0

    def _group_start(self, verb: int) -> int:
        """Walks back over auxiliaries, adverbs and "need to", "about to", "started"."""
        scan, rules = self._scan, self._rules
        text, adverbs = scan.text, rules.words["adverbs"]
        tags = frozenset().union(*(reading.tags for reading in scan.verbs[verb][1]))
        at = verb
        while at and scan.gap[at] < PAUSE:
            word = text[at - 1]
            if at - 1 in scan.verbs and word not in self._aux:
                governs = (text[at] == "to" and word in rules.to_words) or ("ing" in tags and word in rules.ing_words)
                governs = governs or (
                    word in ("need", "needs", "want", "wants", "let")
                    and text[at] in ("to", "us", *text[verb : verb + 1])
                )
                if not governs:
                    break
            elif (word == "us" and at > 1 and text[at - 2] == "let") or (
                word in ("me",) and at > 1 and text[at - 2] == "let"
            ):
                at -= 2
                break
            elif word in self._aux or word == "to" or word in ("'s", "'d", "not", "going"):
                if word == "to" and not tags & {"base"} and text[at] not in ("be", "have", "get", "just"):
                    break
                if word in ("'s",) and at - 1 == 0:
                    break
            elif word in rules.to_words and text[at] == "to":
                pass
            elif word in adverbs and at - 1 not in scan.starting and word not in ("home", "off"):
                if scan.gap[at - 1] >= PAUSE and word in rules.words["openers"]:
                    at -= 1
                    break
                if word in (
                    "there",
                    "here",
                    "back",
                    "up",
                    "together",
                    "in",
                    "out",
                    "free",
                ) and not self._auxiliary_before(at - 1):
                    break
            else:
                break
            at -= 1
        while at < verb and (text[at] in adverbs or text[at] == "to") and text[at] not in ("never", "not", "to"):
            at += 1
        return at

    def _auxiliary_before(self, at: int) -> bool:
        return at > 0 and self._scan.text[at - 1] in self._aux

    def _subject(self, group: int) -> list[Phrase]:
        """The phrases that stand before the group as its subject, the first of them first."""
        scan, text = self._scan, self._scan.text
        at = group
        while at and text[at - 1] in self._rules.words["adverbs"] and at not in scan.ending and scan.gap[at] < PAUSE:
            at -= 1
        phrase = scan.ending.get(at)
        if phrase is None or scan.gap[at] >= PAUSE:
            return []
        limit = self._limit()
        hopped = False
        while phrase.start and text[phrase.start - 1] in _ATTACHING and (before := scan.ending.get(phrase.start - 1)):
            if before.start < limit or before.kind == "person" or scan.gap[phrase.start - 1] >= COMMA:
                break
            if scan.bare and not phrase.determiner and text[phrase.start - 1] in ("on", "in") and phrase.is_part:
                break
            phrase, hopped = before, True
        if phrase.start < limit and not (phrase.start >= limit - 1):
            return []
        governed = phrase.start > limit and text[phrase.start - 1] in self._rules.words["prepositions"]
        if governed and not hopped and not scan.gap[phrase.start] and phrase.kind != "person":
            if text[phrase.start - 1] not in (
                "so",
                "then",
                "before",
                "after",
                "until",
                "till",
                "like",
                "up",
                "on",
                "in",
                "off",
                "out",
            ):
                return []
            if text[phrase.start - 1] in ("on", "in", "off", "out") and phrase.start - 1 >= limit:
                return []
        if phrase.is_pronoun and not phrase.plural and scan.gap[at]:
            return []
        if phrase.start and text[phrase.start - 1] == "with" and not scan.gap[phrase.start]:
            return []
        phrases = [phrase]
        while phrases[0].is_part:
            start = phrases[0].start
            edge = start - 1 if start and text[start - 1] in ("and", "plus") else start
            before = scan.ending.get(edge)
            if before and before.kind in ("tool", "material", "fluid"):
                break
            if not before or before.start < limit or not before.is_part or scan.gap[start] >= PAUSE:
                break
            if edge == start and not scan.gap[start]:
                break
            led_by = text[before.start - 1] if before.start and not scan.gap[before.start] else ""
            if led_by in self._rules.words["prepositions"] | self._told:
                break
            phrases.insert(0, before)
        return phrases
