"""Verbs that mean what they are said with: "done to", "just caught", "left off", "has a new", "had it skimmed"."""

from __future__ import annotations

from pipeline.events.groups import GroupSearch
from pipeline.events.phrase import Phrase
from pipeline.events.predicate import Predicate
from pipeline.events.reading import PAUSE, SENTENCE
from pipeline.events.readings import Reading


class SpecialVerbs(GroupSearch):
    """Readings of the light verbs do, get, have, leave, make and put."""

    def _special(
        self, predicate: Predicate, subjects: list[Phrase], reading: Reading, tags: frozenset[str], chain: list[str]
    ) -> Predicate | None:
        """The predicate with the meaning that a light verb has here; None where it has none of these."""
        scan, text, lemma, subject = self._scan, self._scan.text, predicate.lemma, predicate.subject
        end = scan.verbs[predicate.verb][0]
        thing = subject is not None and subject.kind != "person"
        does = lemma == "do" and not reading.action and bool(reading.objects)
        if does and reading.objects[0].name.endswith(self._rules.adjusting_heads):
            predicate.action, predicate.voice = "adjust", "active"
            return predicate
        if lemma == "put" and not reading.action and reading.objects and self._put_in(subject):
            predicate.action, predicate.said_as = "fit", "put in"
            return predicate
        if lemma == "leave" and self._left_off(predicate, reading):
            return predicate
        if lemma == "catch" and any(word in ("just", "only", "barely") for word in chain):
            be = any(word in self._rules.words["be"] for word in chain)
            predicate.action, predicate.status_told, predicate.said_as = "tighten", "provisional", "just caught"
            predicate.objects, predicate.voice = (list(subjects), "passive") if be else (reading.objects, "active")
            return predicate
        if lemma == "measure" and thing and not reading.objects and self._reader.skip(end) in scan.figures:
            predicate.objects, predicate.voice = list(subjects), "middle"
            return predicate
        if lemma == "make" and reading.objects and reading.objects[0].is_part and reading.objects[0].condition == "new":
            predicate.action, predicate.objects, predicate.said_as = "machine", reading.objects, "make new"
            return predicate
        if (
            lemma == "do"
            and not reading.action
            and reading.objects
            and not any(w in ("to", "up") for w in text[end : end + 1])
        ):
            job = next((self._rules.doing[h] for h in self._rules.doing if reading.objects[0].name.endswith(h)), "")
            if job and reading.objects[0].is_part:
                predicate.action, predicate.objects = job, reading.objects
                predicate.said_as = f"do the {reading.objects[0].head}"
                return predicate
        if lemma == "do" and "pp" in tags and (figure := self._done_to(predicate, subjects, reading)):
            return figure
        if (
            lemma in ("get", "receive", "have")
            and subject is not None
            and not reading.action
            and (subject.is_part or subject.is_pronoun)
        ):
            substance = self._scan.starting.get(self._reader.skip(end))
            joined = substance is not None and self._scan.gap[substance.start] < PAUSE
            given_on = self._reader.substance_name(substance) if substance is not None and joined else ""
            if given_on and substance is not None:
                predicate.action, predicate.voice, predicate.objects = given_on, "state", list(subjects)
                predicate.fluid, predicate.end = substance.name, substance.end
                predicate.said_as = f"{lemma} {substance.name}"
                predicate.status_told = "advised" if predicate.form == "s" else ""
                predicate.form = "pp"
                return predicate
        wears = subject is not None and (subject.is_part or (subject.is_pronoun and "its" in text[end : end + 2]))
        if lemma in ("have", "get") and wears and not reading.action:
            return self._wears_new(predicate)
        return None

    def _done_to(self, predicate: Predicate, subjects: list[Phrase], reading: Reading) -> Predicate | None:
        """ "pinch bolts done to five newton metres", "I've done the axle nut up to forty newton metres"."""
        scan = self._scan
        objects = reading.objects or (subjects if subjects and subjects[-1].kind != "person" else [])
        at = objects[-1].end if reading.objects else predicate.verb + 1
        while at < len(scan.text) and scan.text[at] in ("up", "to", "at", "down"):
            at += 1
        if at not in scan.torques or not objects:
            return None
        predicate.action, predicate.objects, predicate.end = "torque", list(objects), scan.figures[at]
        predicate.voice = "active" if reading.objects else "passive"
        predicate.form = predicate.form if reading.objects else "pp"
        return predicate

    def _topic(self, at: int, group: int) -> list[Phrase]:
        """ "release bearing: swapped", "spigot bearing, drifted in"."""
        scan = self._scan
        part = scan.ending.get(at)
        if part is None or group != at or not 0 < scan.gap[at] < SENTENCE or not part.is_part or part.kind == "tool":
            return []
        if part.start and scan.gap[part.start] < PAUSE:
            return []
        if not any("pp" in verb.tags for verb in scan.verbs[at][1]):
            return []
        self._topics.add(at)
        return [part]

    def _wears_new(self, predicate: Predicate) -> Predicate:
        """ "the drain plug has a new copper washer on it": the washer was fitted."""
        objects, end = self._reader.objects_at(self._reader.skip(predicate.verb + 1), False)
        predicate.voice, predicate.action = "other", ""
        if objects and objects[0].is_part and objects[0].condition == "new":
            predicate.action, predicate.voice, predicate.objects, predicate.form = "fit", "state", objects, "pp"
            predicate.said_as = "has a new"
        predicate.end = max(predicate.verb + 1, end if predicate.action else 0)
        return predicate

    def _put_in(self, subject: Phrase | None) -> bool:
        """ "in the carburettor I put a new needle"."""
        place = self._scan.ending.get(subject.start) if subject is not None else None
        return (
            place is not None and place.start > 0 and self._scan.text[place.start - 1] in ("in", "on", "into", "onto")
        )

    def _left_off(self, predicate: Predicate, reading: Reading) -> bool:
        """ "I've left the cover off", "the depth stop I've left off": not fitted."""
        text = self._scan.text
        at = self._reader.skip(reading.objects[-1].end if reading.objects else predicate.verb + 1)
        loose = text[at : at + 1] in (["loose"], ["slack"])
        if text[at : at + 1] not in (["off"], ["out"]) and not loose:
            return False
        objects = reading.objects
        chain = text[predicate.group : predicate.verb]
        passive = loose or any(word in self._rules.words["be"] for word in chain)
        if passive and not objects and predicate.subject is not None and predicate.subject.kind != "person":
            objects = [predicate.subject]
        if not objects and predicate.subject is not None and (before := self._scan.ending.get(predicate.subject.start)):
            objects = [before]
        if not objects or not (objects[0].is_part or objects[0].is_pronoun):
            return False
        predicate.action, predicate.voice, predicate.objects, predicate.end = "fit", "active", objects, at + 1
        predicate.action = "tighten" if loose else "fit"
        predicate.status_told, predicate.said_as = "negated", f"leave {text[at]}"
        return True

    def _causes(self, at: int, end: int, group: int, subject: Phrase | None) -> bool:
        """ "had the head skimmed", "want those plated": hands the part over to the verb that follows."""
        scan = self._scan
        objects, stop = self._reader.objects_at(self._reader.skip(end), True)
        that = scan.starting.get(self._reader.skip(end))
        if not objects and that is not None and that.is_pronoun and that.head in ("that", "this"):
            objects, stop = [that], that.end
        objects = [part for part in objects if part.is_part or part.is_pronoun]
        verb = self._reader.skip(stop)
        if not objects or verb not in scan.verbs or scan.gap[verb] >= PAUSE:
            return False
        readings = [reading for reading in scan.verbs[verb][1] if "pp" in reading.tags]
        if any(reading.lemma == "let" for reading in scan.verbs[at][1]):
            readings = [reading for reading in scan.verbs[verb][1] if "base" in reading.tags]
        known = [
            reading
            for reading in readings
            if reading.lemma in self._rules.plain or reading.lemma in self._rules.phrasal
        ]
        if not known and not any(self._reader.best(reading, scan.verbs[verb][0], True).action for reading in readings):
            return False
        start = subject.start if subject else group
        lemma = next(reading.lemma for reading in scan.verbs[at][1])
        self._causative[verb] = Predicate(start, group, verb, verb, "", lemma=lemma, subject=subject, objects=objects)
        return True
