"""Narration without an action verb: "cover back on", "the head is off", "then the gear", "in goes the bearing"."""

from __future__ import annotations

from dataclasses import replace

from pipeline.events.lists import ListSearch
from pipeline.events.phrase import Phrase
from pipeline.events.predicate import Predicate
from pipeline.events.reading import PAUSE, SENTENCE

_ORDERED = frozenset(("fit", "remove", "assemble", "dismantle"))
_LISTING = frozenset(("have", "get", "buy", "order", "see", "need", "want", "find"))


class VerblessSearch(ListSearch):
    """Predicates told by a state, an order or a figure."""

    def _verbless(self, at: int) -> Predicate | None:
        """ "Cover back on.", "a smear of grease on the lip", "new seals throughout"."""
        scan, text = self._scan, self._scan.text
        phrase = scan.starting.get(at)
        if not phrase or not (phrase.is_part or phrase.is_pronoun):
            return None
        before = text[at - 1] if at else ""
        bare = (
            not phrase.determiner
            and (at == 0 or scan.gap[at] > 0)
            and text[phrase.end : phrase.end + 1] in (["on"], ["round"], ["over"])
        )
        applied = self._reader.applied(phrase) if phrase.is_part and (phrase.measure or bare) else None
        if applied and applied.objects and self._reader.followed_by_verb(applied.objects[-1]):
            return None
        if applied and applied.action and applied.objects:
            return Predicate(
                at, at, at, applied.end, applied.action, "", "verbless", "", None, applied.objects,
                said_as=applied.said_as, fluid=applied.fluid,
            )  # fmt: skip
        told = self._dressed(at, phrase) or self._echo(at, phrase)
        if told:
            return told
        if phrase.is_pronoun and phrase.head not in ("one", "that", "those", "both"):
            return None
        if (
            phrase.is_part
            and before not in self._rules.words["prepositions"]
            and (figure := self._figure(at, phrase.end, [phrase]))
        ):
            return figure
        after_action = bool(self._found) and self._found[-1].action != "" and at == self._limit()
        if not (scan.gap[at] or before in self._rules.words["openers"] or after_action or self._unled(at, phrase)):
            return None
        subjects, end = self._reader.objects_at(at, True, opening=True)
        if not subjects:
            return None
        elided = self._elided(at, end, subjects) or self._figure(at, end, subjects) or self._listed(at, end, subjects)
        if elided:
            return elided
        spot = self._reader.skip(end)
        hit = self._rules.states.at(text, spot) if spot < len(text) and scan.gap[spot] < PAUSE else None
        if not hit and text[spot : spot + 1] == ["up"] and subjects[-1].is_part and not scan.gap[spot]:
            hit = spot + 1, "fit"
        if not hit or not hit[1] or spot in scan.verbs:
            return None
        if hit[1] == "fit" and subjects[-1].kind not in ("fluid", "material"):
            subjects = [part for part in subjects if part.kind not in ("fluid", "material")]
        if not self._reader.closes(self._reader.skip(hit[0])) and text[hit[0]] not in ("over", "around", "onto"):
            return None
        place = scan.starting.get(hit[0])
        if place is not None and place.determiner and not scan.gap[hit[0]] and text[spot] not in ("off", "out", "back"):
            after = self._reader.skip(place.end)
            if not self._rules.states.at(text, after):
                return None
        if hit[0] < len(text) and not scan.gap[hit[0]] and text[hit[0]] in ("to", "of"):
            return None
        return Predicate(
            at, spot, spot, hit[0], hit[1], "pp", "verbless", "", subjects[-1], subjects,
            said_as=" ".join(text[spot : hit[0]]),
        )  # fmt: skip

    def _dressed(self, at: int, phrase: Phrase) -> Predicate | None:
        """ "Fork pivot: lick of moly grease."."""
        part = self._scan.ending.get(at)
        action = self._reader.substance_name(phrase) if phrase.measure else ""
        if part is None or not action or not part.is_part or not 0 < self._scan.gap[at] < SENTENCE:
            return None
        if (part.start and self._scan.gap[part.start] < PAUSE) or not self._reader.closes(phrase.end):
            return None
        return Predicate(
            part.start, at, at, phrase.end, action, "pp", "verbless", "", part, [part],
            said_as=f"a {phrase.measure} of {phrase.name}", fluid=phrase.name,
        )  # fmt: skip

    def _unled(self, at: int, phrase: Phrase) -> bool:
        """In a text without punctuation: no verb, preposition or article leads on to the part."""
        words = self._rules.words
        led = self._scan.text[at - 1] in words["prepositions"] | words["conjunctions"] | self._aux | {"'s", "not"}
        return self._scan.bare and not led and at - 1 not in self._scan.verbs and phrase.is_part and bool(phrase.kind)

    def _elided(self, at: int, end: int, subjects: list[Phrase]) -> Predicate | None:
        """ "then the gear", "the drain screw second", "new seals throughout": the verb is the one before, or fit."""
        scan, text = self._scan, self._scan.text
        if any(part.weak or not self._is_item(part) or part.kind in ("measure", "tool") for part in subjects):
            return None
        if self._reader.followed_by_verb(subjects[-1]) or (end in scan.ending and text[end : end + 1] == ["'s"]):
            return None
        found = self._found
        if text[at - 2 : at] == ["it", "'s"] and "then" in text[max(0, at - 4) : at - 2]:
            found = found[:-1]
        last = found[-1] if found else None
        if last is not None and (last.action not in _ORDERED or at - last.end > 12):
            last = None
        if last is None and found and not self._is_first(end) and subjects[0].condition != "new":
            return None
        if scan.gap[at - 2 : at - 1] == [SENTENCE] and text[at - 2 : at] == ["and", "then"]:
            return None
        before = self._order_before(at)
        if last is None and self._is_first(end) and not self._then_follows(end):
            return None
        after = self._rules.cues["first"].at(text, end) or self._rules.cues["order"].at(text, end)
        after = after if after and text[end] != "then" and self._reader.closes(after[0]) else None
        new = (
            subjects[0].condition == "new"
            and self._stands_alone(at, end)
            and subjects[0].kind in ("part", "fastener", "")
        )
        if new and found and found[-1].voice == "other" and found[-1].lemma in _LISTING:
            new = any(gap >= SENTENCE for gap in scan.gap[found[-1].end : at + 1])
        new = new and (subjects[0].kind != "" or subjects[0].head not in self._rules.words["not_nouns"])
        ordered = (before and self._stands_alone(at, end)) or after
        if not ordered and not new:
            return None
        if last is None and not (after and text[end] == "first") and not new and not before:
            return None
        action = last.action if last is not None and ordered and not (new and not ordered) else "fit"
        predicate = Predicate(
            at, at, at, after[0] if after else end, action, "", "verbless", "", None, subjects,
            said_as=text[end] if after else "new" if new and not ordered else "then",
        )  # fmt: skip
        predicate.elided = last is not None and bool(ordered)
        return predicate

    def _then_follows(self, end: int) -> bool:
        """ "shim first, then the washer": an order goes on."""
        text, at = self._scan.text, end + 1
        while at < len(text) and text[at] in ("and", "on", "in"):
            at += 1
        part = self._scan.starting.get(at + 1)
        return text[at : at + 1] == ["then"] and part is not None and part.is_part and not self._scan.gap[end]

    def _is_first(self, end: int) -> bool:
        return self._rules.cues["first"].at(self._scan.text, end) is not None

    def _order_before(self, at: int) -> bool:
        """True after "then", "followed by", "and finally", "then it's"."""
        text = self._scan.text
        if at > 2 and text[at - 2 : at] == ["it", "'s"]:
            at -= 2
        while at > 1 and text[at - 1] in ("quickly", "just", "also", "straight", "carefully"):
            at -= 1
        return any(
            (hit := self._rules.cues["order"].at(text, start)) is not None
            and hit[0] == at
            and text[start] not in ("second", "third", "on")
            for start in range(max(0, at - 4), at)
        )

    def _stands_alone(self, at: int, end: int) -> bool:
        """True where a clause holds nothing but the part (and perhaps where it goes)."""
        scan, text = self._scan, self._scan.text
        end = self._reader.skip(end)
        if end < len(text) and text[end] in ("throughout", "everywhere"):
            end += 1
        elif (
            end < len(text) and text[end] in ("on", "in", "all", "with", "behind", "onto", "over") and not scan.gap[end]
        ):
            while (
                end < len(text)
                and not scan.gap[end]
                and text[end] not in ("and", "then", "so")
                and end not in scan.verbs
            ):
                if text[end] in self._rules.words["be"] or text[end] == "'s":
                    return False
                end += 1
        if end < len(text) and not scan.gap[end] and text[end] in ("is", "'s", "are", "was"):
            return False
        before = text[at - 1] if at else ""
        opens = at == 0 or scan.gap[at] > 0 or before in ("then", "and", "by", "next", "finally", "lastly", "'s", "so")
        opens = opens or (scan.bare and self._unled(at, scan.starting[at]))
        ends = scan.bare and end < len(text) and (following := scan.starting.get(end)) is not None and (
            following.kind == "person" or following.condition == "new" or following.determiner != ""
        )  # fmt: skip
        if opens and ends:
            return True
        return opens and (
            end >= len(text) or scan.gap[end] > 0 or text[end] in ("and", "then", "followed", "so", "finally")
        )

    def _figure(self, at: int, end: int, subjects: list[Phrase]) -> Predicate | None:
        """ "stem bolts to five newton metres": a torque is said of a part without a verb."""
        scan, text = self._scan, self._scan.text
        spot = end + 1 if end < len(text) and text[end] in ("to", "at", "are", "is") else end
        if spot not in scan.torques or not all(part.is_part or part.is_pronoun for part in subjects):
            return None
        if spot == end and subjects[-1].kind != "fastener" and not subjects[-1].is_pronoun:
            return None
        return Predicate(
            at,
            at,
            at,
            scan.figures.get(spot, spot),
            "torque",
            "pp",
            "verbless",
            "",
            subjects[-1],
            subjects,
            said_as="to a figure",
        )

    def _inverted(self, at: int) -> Predicate | None:
        """ "in goes the bearing", "off with the old one", "on with the cover"."""
        scan, text = self._scan, self._scan.text
        hit = self._rules.particles.at(text, at) or ((at + 1, "fit") if text[at] == "up" else None)
        if not hit or hit[0] >= len(text) or any(scan.gap[spot] for spot in range(at + 1, hit[0] + 1)):
            return None
        end = hit[0]
        before = text[at - 1] if at else ""
        if not (at == 0 or scan.gap[at] or before in self._rules.words["openers"] or at == self._limit() or scan.bare):
            return None
        verb = scan.verbs.get(end)
        if text[at] == "up" and text[end] in ("comes", "came", "come"):
            hit = end, "remove"
        subject = scan.starting.get(end)
        opener = before in self._rules.words["openers"] and before not in ("that", "this", "there", "here")
        opens = at == 0 or scan.gap[at] > 0 or opener or (scan.bare and at - 1 not in scan.verbs)
        if text[end] == "with" and not scan.gap[end]:
            if not opens:
                return None
            objects, stop = self._reader.objects_at(end + 1, False)
            if (
                scan.bare
                and objects
                and (objects[0].kind == "tool" or not (objects[0].determiner in ("the", "my") or objects[0].condition))
            ):
                return None
            form = "s"
        elif verb and any(
            (reading.lemma in self._rules.middle or reading.lemma == "fall") and reading.tags & {"s", "past", "base"}
            for reading in verb[1]
        ):
            objects, stop = self._reader.objects_at(verb[0], False)
            form = "s" if any("s" in reading.tags for reading in verb[1]) else "past"
        elif (
            subject
            and (subject.kind != "person" or subject.head in ("she", "he"))
            and text[subject.end : subject.end + 1] in (["goes"], ["went"], ["go"], ["comes"], ["came"], ["come"])
        ):
            it = replace(subject, kind="pronoun") if subject.kind == "person" else subject
            objects, stop, form = [it], subject.end + 1, "s"
        else:
            return None
        objects = [part for part in objects if part.is_part or part.is_pronoun]
        if not objects:
            return None
        return Predicate(
            at, at, at, stop, hit[1], form, "verbless", "", None, objects, said_as=" ".join(text[at : end + 1])
        )
