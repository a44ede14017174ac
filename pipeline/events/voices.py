"""Verbs and their parts: who does what to which part, actively, passively or by having it done."""

from __future__ import annotations

from dataclasses import replace

from pipeline.events.phrase import Phrase
from pipeline.events.predicate import Predicate, form_of, last_of, participle_of
from pipeline.events.reading import PAUSE
from pipeline.events.readings import BARE, MOVED, OTHER, PHRASAL, PLAIN, Reading
from pipeline.events.special_verbs import SpecialVerbs

_STANDING = frozenset(("sit", "rest", "run", "hang", "locate", "seat", "reach", "lie", "stand", "live", "bear"))
_WANTING = frozenset(("need", "needs", "needed", "want", "wants", "require", "requires", "needing", "deserves"))


class VoiceSearch(SpecialVerbs):
    """Predicates that have a verb of their own."""

    def _verb(self, at: int) -> Predicate | None:
        scan, text = self._scan, self._scan.text
        end, verbs = scan.verbs[at]
        group = self._groups[at]
        given = self._causative.pop(at, None)
        topic = self._topic(at, group)
        subjects = self._subject(group) or topic
        chain = text[group:at]
        if len(subjects) > 1 and chain[:1] and chain[0] in ("is", "was", "has", "'s"):
            subjects = subjects[-1:]
        subject = subjects[-1] if subjects else None
        if subject is not None and subject.head in ("he", "she") and self._of_machine(at):
            subject = replace(subject, kind="pronoun")
            subjects = [subject]
        thing = subject is not None and subject.kind != "person"
        options: list[tuple[Reading, str, str]] = []
        for verb in verbs:
            intransitive = thing and (verb.lemma in self._rules.middle or verb.lemma in _STANDING)
            form = form_of(verb.tags, chain, subject.head if subject else "")
            options.append((self._reader.best(verb, end, intransitive), verb.lemma, form))
        reading, lemma, form = max(options, key=lambda option: option[0].rank)
        tags = frozenset().union(*(verb.tags for verb in verbs if verb.lemma == lemma))
        if (
            form == "base"
            and thing
            and subject is not None
            and not subject.plural
            and all(word in self._rules.words["adverbs"] for word in chain)
        ):
            subjects, subject = [], None
        if (
            lemma in ("have", "get", "want", "need", "leave", "let")
            and reading.rank <= MOVED
            and self._causes(at, end, group, subject)
        ):
            return None
        predicate = Predicate(
            subjects[0].start if subjects else group, group, at, max(reading.end, end), reading.action, form, "active",
            lemma, subject, reading.objects, False, reading.said_as or lemma, reading.fluid, reading.finish,
        )  # fmt: skip
        if given:
            predicate.group, predicate.start, predicate.subject = given.group, given.start, given.subject
            predicate.objects, predicate.form, predicate.voice = given.objects, "pp", "causative"
            predicate.lemma_before = given.lemma
            return self._finish_phrase(predicate)
        predicate.destination = reading.particle_first and bool(reading.objects)
        predicate.ambiguous = (
            {"base", "past"} <= tags and not subjects and not any(word in self._aux or word == "to" for word in chain)
        )
        predicate.condition = self._rules.verb_condition.get(lemma, "")
        special = self._special(predicate, subjects, reading, tags, chain)
        if special:
            return special
        if lemma == "go" and subjects and thing and end < len(text) and text[end] == "to" and end + 1 in scan.torques:
            predicate.action, predicate.voice, predicate.objects = "torque", "middle", list(subjects)
            return predicate
        if reading.rank == OTHER or not reading.action:
            predicate.action, predicate.voice = "", "other"
            if reading.rank == OTHER:
                predicate.end = end
            return predicate
        self._give_objects(predicate, subjects, reading, tags, chain)
        return self._finish_phrase(predicate)

    def _of_machine(self, at: int) -> bool:
        """ "she came off", "he'll have to come out": a machine or a part of it, where no person would be meant."""
        end, verbs = self._scan.verbs[at]
        moves = any(verb.lemma in ("come", "go", "bolt", "slide", "pop", "drop", "slip", "lift") for verb in verbs)
        return moves and self._rules.particles.at(self._scan.text, self._reader.skip(end)) is not None

    def _give_objects(
        self, predicate: Predicate, subjects: list[Phrase], reading: Reading, tags: frozenset[str], chain: list[str]
    ) -> None:
        """Decides the voice, and with it which phrases are the parts."""
        subject = predicate.subject
        if not reading.objects and predicate.form == "base" and self._waiting_for(predicate):
            return
        thing = subject is not None and subject.kind != "person"
        people = subject is not None and subject.kind == "person"
        be = last_of(chain, self._rules.words["be"] | {"'s"} | self._rules.words["get"], self._aux | {"'s", "'d"})
        wants_doing = "ing" in tags and any(word in _WANTING for word in chain) and predicate.form == "ing"
        wants_done = "pp" in tags and any(word in ("needs", "wants") for word in chain) and "to" not in chain
        passive = "pp" in tags and be and not (be == "'s" and people)
        if reading.target and (reading.objects or thing or passive):
            return
        told = passive and be in ("is", "are", "'s", "was", "were") and chain[-1:] in ([be], ["not"])
        as_is = self._rules.condition.at(self._scan.text, predicate.verb) or (
            predicate.action in ("coat", "polish") and be in ("is", "are", "'s")
        )
        if told and as_is and predicate.said_as == predicate.lemma:
            predicate.action, predicate.voice, predicate.lemma, predicate.end = "", "other", "be", predicate.verb
            return
        if (passive or wants_doing or wants_done) and not (wants_doing and reading.objects and people):
            predicate.voice, predicate.form = "passive", "pp" if passive else "ing"
            if reading.objects and not thing:
                return
            at = predicate.group
            predicate.objects = list(subjects) if thing else [Phrase(at, at, "", "pronoun", "it")]
            if reading.objects:
                predicate.end = self._particle_end(predicate, reading)
            return
        bare_chain = all(word not in self._aux for word in chain)
        before = self._found[-1] if self._found else None
        if "pp" in tags and bare_chain and subject is None and not reading.objects and before and not before.action:
            same = before.subject is not None and before.subject.is_part and before.form == "pp"
            if same and before.end <= predicate.group and predicate.group - before.end < 5:
                predicate.voice, predicate.objects, predicate.form = "passive", [before.subject], "pp"  # type: ignore[list-item]
                predicate.subject = before.subject
                return
        if predicate.ambiguous and not reading.objects and not thing and self._found:
            at = predicate.group
            predicate.ambiguous, predicate.voice, predicate.form = False, "passive", "pp"
            predicate.objects = [Phrase(at, at, "", "pronoun", "it")]
            return
        if predicate.form == "ing" and bare_chain and not self._may_report(predicate, thing):
            predicate.action, predicate.voice = "", "other"
            return
        joined = self._scan.gap[predicate.group] == 0 or predicate.verb in self._topics
        if "pp" in tags and bare_chain and subject is None and self._absolute(predicate.group):
            predicate.action, predicate.voice = "", "other"
            return
        if (
            not joined
            and subject is not None
            and subject.kind == "fastener"
            and predicate.action in ("torque", "tighten")
        ):
            joined = True
        if "pp" in tags and bare_chain and thing and not reading.objects and not joined and self._found:
            predicate.subject = None
            return
        if "pp" in tags and bare_chain and thing and not reading.objects:
            if (
                subject
                and subject.head in ("that", "which", "it", "this")
                and predicate.lemma not in self._rules.middle
            ):
                predicate.objects = []
                return
            if not (predicate.lemma in self._rules.middle and reading.rank == MOVED):
                predicate.voice, predicate.objects, predicate.form = "passive", list(subjects), "pp"
                return
        if (
            thing
            and (predicate.lemma in self._rules.middle or predicate.lemma == "line")
            and reading.rank in (PHRASAL, MOVED, BARE, PLAIN)
            and not reading.objects
        ):
            by_itself = reading.rank == PHRASAL and predicate.lemma in ("go", "come", "line")
            moved = by_itself or reading.rank == MOVED or predicate.lemma == "fit"
            if moved:
                predicate.voice, predicate.objects = "middle", list(subjects)
            return
        if not subjects and predicate.form == "s" and reading.rank == MOVED and not reading.objects:
            if predicate.lemma in self._rules.middle:
                at = predicate.group
                predicate.voice, predicate.objects = "middle", [Phrase(at, at, "", "pronoun", "it")]
            return
        told_of = (
            predicate.lemma not in ("get", "have")
            and "pp" in tags
            and bare_chain
            and subject is not None
            and subject.is_part
            and joined
        )
        if told_of and reading.objects and not reading.objects[0].is_pronoun:
            predicate.voice, predicate.objects, predicate.form = "passive", list(subjects), "pp"
            predicate.end = self._scan.verbs[predicate.verb][0]

    def _may_report(self, predicate: Predicate, thing: bool) -> bool:
        """A bare "-ing" reports only where a clause begins ("fitting the seal now") or in "new rings going on"."""
        scan, text = self._scan, self._scan.text
        if predicate.lemma in ("go", "come"):
            return thing
        if thing:
            return False
        before = text[predicate.group - 1] if predicate.group else ""
        opens = predicate.group == 0 or scan.gap[predicate.group] > 0 or before in self._rules.words["openers"]
        return opens or before == "to" or before in self._rules.ing_words or before in self._rules.words["conjunctions"]

    def _absolute(self, group: int) -> bool:
        """ "with the adjusters wound down": a circumstance, nothing told."""
        phrase = self._scan.ending.get(group)
        return (
            phrase is not None
            and phrase.start > 0
            and not self._scan.gap[group]
            and self._scan.text[phrase.start - 1] == "with"
        )

    def _waiting_for(self, predicate: Predicate) -> bool:
        """ "the change gears to fit", "four bolts left to tighten": the part stands before the verb."""
        scan, text = self._scan, self._scan.text
        at = predicate.verb - 1
        if at < 1 or text[at] != "to":
            return False
        while at and text[at - 1] in ("left", "still", "yet") and at not in scan.ending:
            at -= 1
        phrase = scan.ending.get(at)
        if phrase is None or not (phrase.is_part or phrase.is_pronoun) or predicate.subject not in (None, phrase):
            return False
        if not any(
            word in ("got", "have", "there", "just", "left", "only", "still", "leaves")
            for word in text[max(0, phrase.start - 4) : predicate.verb]
        ):
            return False
        predicate.objects, predicate.voice, predicate.start = [phrase], "to do", phrase.start
        return True

    def _particle_end(self, predicate: Predicate, reading: Reading) -> int:
        return min(reading.end, reading.objects[0].start)

    def _finish_phrase(self, predicate: Predicate) -> Predicate:
        """ "powder coated satin black": what a coat leaves behind."""
        scan = self._scan
        if predicate.action not in ("coat",) or predicate.finish:
            return predicate
        verb_end = scan.verbs[predicate.verb][0] if predicate.verb in scan.verbs else predicate.end
        words = " ".join(scan.text[predicate.verb : verb_end])
        hit = self._finish_at(scan.text, predicate.verb)
        if hit and hit[0] > verb_end:
            predicate.finish, predicate.end, predicate.finish_end = hit[1], max(predicate.end, hit[0]), hit[0]
            return predicate
        at = self._reader.skip(max(predicate.end, verb_end))
        if at < len(scan.text) and scan.text[at] in ("in", "with", "a"):
            at += 1
        if at < len(scan.text) and scan.text[at] == "a":
            at += 1
        colour = self._finish_at(scan.text, at) or self._rules.finish["colour"].at(scan.text, at)
        said = participle_of(words, self._rules)
        if colour and (at >= len(scan.gap) or scan.gap[at] < PAUSE):
            tone = " ".join(scan.text[at : colour[0]])
            predicate.finish, predicate.end = f"{said} {tone}".strip(), max(predicate.end, colour[0])
            predicate.finish_end = colour[0]
        else:
            predicate.finish = said
        return predicate
