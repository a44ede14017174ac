"""Which parts a predicate is about: pronouns resolved, parts that are said elsewhere found."""

from __future__ import annotations

from dataclasses import replace

from pipeline.events.details import DetailReader
from pipeline.events.focus import Focus, Weigh
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.rules import Rules

_ARTICLES = frozenset(("the", "a", "an", "new", "some"))


class PartResolver:
    """Finds the parts of predicates, in the order of the words."""

    def __init__(
        self, rules: Rules, scan: Scan, predicates: list[Predicate], details: DetailReader, weigh: Weigh
    ) -> None:
        self._rules, self._scan, self._predicates, self._details = rules, scan, predicates, details
        self._focus = Focus(rules, scan, predicates, weigh)
        self._last: Predicate | None = None
        self._last_parts: list[Phrase] = []

    def _parts(self, place: int, predicate: Predicate) -> list[Phrase]:
        """The parts of a predicate, pronouns resolved."""
        self._focus.pass_over(predicate.verb)
        found: list[Phrase] = []
        last = self._last
        if predicate.action:
            self._last = predicate
        objects = predicate.objects
        passive = last is not None and last.voice in ("passive", "causative", "middle", "state", "verbless")
        goes_on = predicate.linked and predicate.voice == "active" and passive and predicate.form in ("past", "pp")
        if goes_on and (not objects or predicate.destination):
            objects, predicate.voice = self._last_parts, "passive"
        named = [phrase for phrase in objects if phrase.kind != "nothing"]
        if objects and not named and predicate.linked:
            return []
        objects = named
        if predicate.action == "clean" or predicate.action == "remove":
            objects = self._dirty(predicate, objects)
        if not objects and predicate.voice == "active":
            objects = self._missing_object(place, predicate)
        objects = [self._measured(predicate, phrase) for phrase in self._named_after(predicate, objects)]
        for phrase in objects:
            if phrase.is_part:
                found.append(phrase)
            elif phrase.is_pronoun and phrase.head != "everything":
                found += self._focus.resolve(phrase, predicate.action)
        found = [self._both(predicate, part) for part in found]
        self._focus.pass_over(predicate.end)
        return found

    def _dirty(self, predicate: Predicate, objects: list[Phrase]) -> list[Phrase]:
        """ "cleaned the carbon out of the chamber": the chamber was cleaned."""
        if predicate.action == "clean" and len(objects) == 1 and predicate.said_as.endswith(" off"):
            face = self._scan.starting.get(predicate.end)
            if face is not None and face.is_part and objects[0].kind not in ("part", "fastener"):
                return [face]
        if len(objects) != 1 or objects[0].head not in self._rules.words["dirt"] or objects[0].start < predicate.verb:
            return objects
        at = objects[0].end
        while at < len(self._scan.text) and self._scan.text[at] in ("out", "off", "of", "from", "all"):
            at += 1
        phrase = self._scan.starting.get(at)
        if phrase is None or at == objects[0].end or not (phrase.is_part or phrase.is_pronoun):
            return objects
        predicate.action = "clean"
        return [phrase]

    def _named_after(self, predicate: Predicate, objects: list[Phrase]) -> list[Phrase]:
        """ "I've done that up to nine newton metres on the pinch bolt": the fastener is named last."""
        if predicate.action not in ("tighten", "torque") or not objects or not all(part.is_pronoun for part in objects):
            return objects
        for at in range(predicate.end, min(predicate.end + 9, len(self._scan.text))):
            phrase = self._scan.starting.get(at)
            if self._scan.gap[at] >= 2:
                break
            if phrase is not None and phrase.kind == "fastener" and self._scan.text[at - 1] == "on":
                return [phrase]
        return objects

    def _measured(self, predicate: Predicate, phrase: Phrase) -> Phrase:
        """ "the end float on the layshaft": the layshaft was measured."""
        if phrase.kind != "measure" or predicate.action not in ("measure", "adjust", "inspect"):
            return phrase
        at = phrase.end
        owner = self._scan.starting.get(at + 1)
        if self._scan.text[at : at + 1] in (["on"], ["of"], ["in"]) and owner is not None and owner.is_part:
            return owner
        return phrase

    def _both(self, predicate: Predicate, part: Phrase) -> Phrase:
        """ "the O-rings, both of them": the count said after the part."""
        after = self._scan.starting.get(part.end) or self._scan.starting.get(predicate.end)
        if after is not None and after.is_pronoun and after.plural and after.count and part.count is None:
            return replace(part, count=after.count)
        return part

    def _missing_object(self, place: int, predicate: Predicate) -> list[Phrase]:
        """ "the seal I fitted", "cleaned and refitted": the object is said elsewhere."""
        ahead = self._predicates[place + 1] if place + 1 < len(self._predicates) else None
        plain = bool(self._rules.plain.get(predicate.lemma)) and predicate.said_as == predicate.lemma
        if ahead is not None and ahead.linked and ahead.objects and plain and ahead.voice == "active":
            between = self._scan.text[predicate.end : ahead.group]
            if all(word in ("and", "then", "or", "carefully", "properly") for word in between):
                return ahead.objects
        if predicate.linked and self._last_parts and (plain or predicate.form in ("past", "pp")):
            return self._last_parts
        subject = predicate.subject
        if subject is not None and subject.kind == "person":
            before = self._scan.ending.get(subject.start)
            if before is None and subject.start and self._scan.text[subject.start - 1] in ("that", "which"):
                before = self._scan.ending.get(subject.start - 1)
            if before is not None and (before.is_part or before.is_pronoun) and self._scan.gap[subject.start] < 2:
                return [before]
        if predicate.fluid and predicate.action == "fill":
            fluid = self._scan.starting.get(self._fluid_start(predicate))
            return [replace(fluid, kind="fluid")] if fluid is not None and fluid.is_part else []
        if predicate.fluid:
            return [Phrase(predicate.verb, predicate.verb + 1, "", "pronoun", "it")]
        return []

    def _fluid_start(self, predicate: Predicate) -> int:
        return next((p.start for p in self._scan.phrases if predicate.verb < p.start and p.name == predicate.fluid), -1)

    def _fitted_with(self, predicate: Predicate, end: int) -> list[Phrase]:
        """ "the cover goes on with a new gasket": the gasket is fitted too; screws are what holds it."""
        found = []
        for phrase in self._scan.phrases_in(predicate.verb + 1, end + 1):
            if not phrase.is_part or phrase.measure or phrase in predicate.objects:
                continue
            if self._scan.text[phrase.start - 1] != "with" or phrase.kind in ("tool", "fluid", "material"):
                continue
            known = phrase.determiner in _ARTICLES and phrase.kind in ("part", "fastener")
            if not phrase.condition and phrase.determiner not in ("its", "their") and not known:
                continue
            if (
                phrase.head in self._rules.words["safety_heads"] and predicate.said_as != "is new"
            ) or self._details.is_tool(phrase):
                continue
            found.append(self._details.placed(phrase))
        return found
