"""Verb groups with what they are about: which action, on which parts, in which form."""

from __future__ import annotations

from dataclasses import dataclass, field

from pipeline.events.phrases import Phrase, Scan
from pipeline.events.reading import COMMA, PAUSE, SENTENCE
from pipeline.events.readings import BARE, MOVED, OTHER, PLAIN, FinishAt, Reading, VerbReader
from pipeline.events.rules import Rules


@dataclass(slots=True)
class Predicate:
    """One verb group over units. `action` is "" for verbs that only carry the clause on.

    `start` is where its subject starts, `group` the verb group (auxiliaries and all), `verb` the verb itself, `end`
    the end of the verb with its particle and objects. `form` is base, s, past, pp or ing; `voice` active, passive,
    middle, state, verbless or other. `status` and `trigger` are filled by the scope rules.
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
    lemma_before: str = ""
    status: str = ""
    trigger: str = ""


class PredicateSearch:
    """Finds the predicates of one scan, in order of the words."""

    def __init__(self, rules: Rules, scan: Scan, finish_at: FinishAt) -> None:
        self._rules, self._scan, self._finish_at = rules, scan, finish_at
        self._reader = VerbReader(rules, scan, finish_at)
        words = rules.words
        self._aux = words["be"] | words["have"] | words["get"] | words["do"] | words["modals"]
        self._found: list[Predicate] = []
        self._groups = {verb: self._group_start(verb) for verb in scan.verbs}
        self._inner = {inner for verb, group in self._groups.items() for inner in range(group, verb)}
        self._causative: dict[int, Predicate] = {}

    def run(self) -> list[Predicate]:
        """Every predicate, the ones without an action included."""
        scan, at = self._scan, 0
        while at < len(scan.text):
            found = self._at(at)
            if found:
                self._found.append(found)
                inner = found.end if found.voice == "verbless" or found.said_as.count(" a ") else found.verb + 1
                at = max(at + 1, inner, found.finish_end)
            else:
                at += 1
        return self._found

    def _at(self, at: int) -> Predicate | None:
        scan = self._scan
        if at in self._inner:
            return None
        if at in scan.verbs:
            return self._verb(at)
        if at < self._limit():
            return None
        if scan.text[at] in self._rules.words["be"] or (scan.text[at] == "'s" and at):
            return self._copula(at)
        return self._inverted(at) or self._verbless(at)

    def _limit(self) -> int:
        return self._found[-1].end if self._found else 0

    # The verb group

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
                governs = (
                    governs
                    or word in ("need", "needs", "want", "wants", "let")
                    and text[at] in ("to", "us", *text[verb : verb + 1])
                )
                if not governs:
                    break
            elif word == "us" and at > 1 and text[at - 2] == "let":
                at -= 2
                break
            elif word in ("me",) and at > 1 and text[at - 2] == "let":
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
        if phrase.start and text[phrase.start - 1] == "with":
            return []
        phrases = [phrase]
        while phrases[0].is_part:
            start = phrases[0].start
            edge = start - 1 if start and text[start - 1] in ("and", "plus") else start
            before = scan.ending.get(edge)
            if not before or before.start < limit or not before.is_part or scan.gap[start] >= PAUSE:
                break
            if edge == start and not scan.gap[start]:
                break
            if before.start and text[before.start - 1] in self._rules.words["prepositions"]:
                break
            phrases.insert(0, before)
        return phrases

    # Verbs

    def _verb(self, at: int) -> Predicate | None:
        scan, text = self._scan, self._scan.text
        end, verbs = scan.verbs[at]
        group = self._groups[at]
        given = self._causative.pop(at, None)
        subjects = self._subject(group)
        subject = subjects[-1] if subjects else None
        chain = text[group:at]
        thing = subject is not None and subject.kind != "person"
        options: list[tuple[Reading, str, str]] = []
        for verb in verbs:
            intransitive = thing and (verb.lemma in self._rules.middle or verb.lemma in _STANDING)
            form = _form(verb.tags, chain, subject.head if subject else "")
            options.append((self._reader.best(verb, end, intransitive), verb.lemma, form))
        reading, lemma, form = max(options, key=lambda option: option[0].rank)
        tags = frozenset().union(*(verb.tags for verb in verbs if verb.lemma == lemma))
        if form == "base" and thing and subject is not None and not subject.plural and all(word in self._rules.words["adverbs"] for word in chain):
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
        if lemma == "have" and subject is not None and subject.is_part and not reading.action:
            return self._wears_new(predicate)
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

    def _wears_new(self, predicate: Predicate) -> Predicate:
        """ "the drain plug has a new copper washer on it": the washer was fitted."""
        objects, end = self._reader.objects_at(self._reader.skip(predicate.verb + 1), False)
        predicate.voice, predicate.action = "other", ""
        if objects and objects[0].is_part and objects[0].condition == "new":
            predicate.action, predicate.voice, predicate.objects, predicate.form = "fit", "state", objects, "pp"
            predicate.said_as = "has a new"
        predicate.end = max(predicate.verb + 1, end if predicate.action else 0)
        return predicate

    def _causes(self, at: int, end: int, group: int, subject: Phrase | None) -> bool:
        """ "had the head skimmed", "want those plated": hands the part over to the verb that follows."""
        scan = self._scan
        objects, stop = self._reader.objects_at(self._reader.skip(end), True)
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

    def _give_objects(
        self, predicate: Predicate, subjects: list[Phrase], reading: Reading, tags: frozenset[str], chain: list[str]
    ) -> None:
        """Decides the voice, and with it which phrases are the parts."""
        subject = predicate.subject
        if not reading.objects and predicate.form == "base" and self._waiting_for(predicate):
            return
        thing = subject is not None and subject.kind != "person"
        people = subject is not None and subject.kind == "person"
        be = _last_of(chain, self._rules.words["be"] | {"'s"} | self._rules.words["get"], self._aux | {"'s", "'d"})
        wants_doing = "ing" in tags and any(word in _WANTING for word in chain) and predicate.form == "ing"
        wants_done = "pp" in tags and any(word in ("needs", "wants") for word in chain) and "to" not in chain
        passive = "pp" in tags and be and not (be == "'s" and people)
        if reading.target and (reading.objects or thing or passive):
            return
        told = passive and be in ("is", "are", "'s", "was", "were") and chain[-1:] == [be]
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
        if predicate.form == "ing" and bare_chain and not self._may_report(predicate, thing):
            predicate.action, predicate.voice = "", "other"
            return
        joined = self._scan.gap[predicate.group] == 0
        if "pp" in tags and bare_chain and subject is None and self._absolute(predicate.group):
            predicate.action, predicate.voice = "", "other"
            return
        if not joined and subject is not None and subject.kind == "fastener" and predicate.action in ("torque", "tighten"):
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
            and predicate.lemma in self._rules.middle
            and reading.rank in (MOVED, BARE, PLAIN)
            and not reading.objects
        ):
            moved = reading.rank == MOVED or predicate.lemma == "fit"
            if moved:
                predicate.voice, predicate.objects = "middle", list(subjects)
            return
        if not subjects and predicate.form == "s" and reading.rank == MOVED and not reading.objects:
            if predicate.lemma in self._rules.middle:
                at = predicate.group
                predicate.voice, predicate.objects = "middle", [Phrase(at, at, "", "pronoun", "it")]
            return
        if "pp" in tags and bare_chain and thing and reading.objects and subject and subject.is_part and joined:
            if reading.objects[0].start > predicate.verb and not reading.objects[0].is_pronoun:
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
        return phrase is not None and phrase.start > 0 and not self._scan.gap[group] and self._scan.text[phrase.start - 1] == "with"

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
        said = _participle(words, self._rules)
        if colour and (at >= len(scan.gap) or scan.gap[at] < PAUSE):
            tone = " ".join(scan.text[at : colour[0]])
            predicate.finish, predicate.end = f"{said} {tone}".strip(), max(predicate.end, colour[0])
            predicate.finish_end = colour[0]
        else:
            predicate.finish = said
        return predicate

    # Without a verb of its own

    def _copula(self, at: int) -> Predicate | None:
        """ "the head is back on", "that's off now"; also what only presents a part."""
        scan, text = self._scan, self._scan.text
        group = at
        while (
            group
            and text[group - 1] in (self._aux | {"'s", "'d", "not", "to", "still", "now", "just", "already"})
            and not scan.gap[group]
        ):
            group -= 1
        subjects = self._subject(group)
        subject = subjects[-1] if subjects else None
        start = subjects[0].start if subjects else group
        look = at + 1
        while look < len(text) and text[look] in _BEFORE_STATE and scan.gap[look] < PAUSE:
            look += 1
        options = [spot for spot in (look, self._reader.skip(look)) if spot < len(text)]
        for spot in dict.fromkeys(options):
            hit = self._rules.states.at(text, spot)
            if hit and text[at] in ("was", "were"):
                hit = None
            if (
                hit
                and scan.gap[spot] < PAUSE
                and subjects
                and subject
                and subject.kind != "person"
                and self._ends_state(hit[0], text[spot])
            ):
                form = "pp" if text[at] == "been" else "s"
                end = hit[0]
                while end < len(text) and text[end] in ("and", "tight") and text[end : end + 2] == ["and", "tight"]:
                    end += 2
                return Predicate(
                    start, group, spot, end, hit[1], form, "state", "be", subject, list(subjects),
                    said_as=f"is {' '.join(text[spot:hit[0]])}",
                )  # fmt: skip
        return self._presented_state(start, group, at, subject) or Predicate(
            start, group, at, at + 1, "", "s", "other", "be", subject
        )

    def _presented_state(self, start: int, group: int, at: int, subject: Phrase | None) -> Predicate | None:
        """ "that's the rear wheel off"."""
        scan, text = self._scan, self._scan.text
        if subject is None or subject.head not in ("that", "there", "this", "it") or text[at] not in ("is", "'s", "are"):
            return None
        objects, end = self._reader.objects_at(self._reader.skip(at + 1), True)
        if not objects or not objects[0].is_part:
            return None
        spot = self._reader.skip(end)
        hit = self._rules.states.at(text, spot) if spot < len(text) and scan.gap[spot] < PAUSE else None
        if not hit or spot in scan.verbs or not self._reader.closes(hit[0]):
            return None
        said_as = " ".join(text[spot : hit[0]])
        return Predicate(start, group, spot, hit[0], hit[1], "s", "state", "be", subject, objects, said_as=said_as)

    def _ends_state(self, end: int, first: str) -> bool:
        """A state word that opens no "in the gearbox"; "off the bike" and "back on the engine" still tell."""
        scan = self._scan
        if end >= len(scan.text) or scan.gap[end]:
            return True
        word = scan.text[end]
        if word == "by" or word in ("of", "from") and first not in ("off", "out"):
            return False
        if word == "to":
            return end + 1 in scan.verbs
        phrase = scan.starting.get(end)
        if (
            phrase
            and phrase.kind not in ("person",)
            and not (phrase.is_pronoun and phrase.head in ("that", "this", "which", "it"))
        ):
            if word in self._rules.words["possessives"] or first in ("off", "back", "tight", "loose", "home"):
                return True
            return self._reader.closes(end)
        return not (word in ("a", "the", "here") or word.isdigit())

    def _verbless(self, at: int) -> Predicate | None:
        """ "Cover back on.", "a smear of grease on the lip", "new seals throughout"."""
        scan, text = self._scan, self._scan.text
        phrase = scan.starting.get(at)
        if not phrase or not (phrase.is_part or phrase.is_pronoun):
            return None
        before = text[at - 1] if at else ""
        bare = not phrase.determiner and (at == 0 or scan.gap[at] > 0) and text[phrase.end : phrase.end + 1] in (["on"], ["round"], ["over"])
        applied = self._reader.applied(phrase) if phrase.is_part and (phrase.measure or bare) else None
        if applied and applied.objects and self._reader.followed_by_verb(applied.objects[-1]):
            return None
        if applied and applied.action and applied.objects:
            return Predicate(
                at, at, at, applied.end, applied.action, "", "verbless", "", None, applied.objects,
                said_as=applied.said_as, fluid=applied.fluid,
            )  # fmt: skip
        if phrase.is_pronoun and phrase.head not in ("one", "that", "those", "both"):
            return None
        if phrase.is_part and before not in self._rules.words["prepositions"] and (figure := self._figure(at, phrase.end, [phrase])):
            return figure
        after_action = bool(self._found) and self._found[-1].action != "" and at == self._limit()
        if not (scan.gap[at] or before in self._rules.words["openers"] or after_action):
            return None
        subjects, end = self._reader.objects_at(at, True, opening=True)
        if not subjects:
            return None
        elided = self._elided(at, end, subjects) or self._figure(at, end, subjects)
        if elided:
            return elided
        spot = self._reader.skip(end)
        hit = self._rules.states.at(text, spot) if spot < len(text) and scan.gap[spot] < PAUSE else None
        if not hit or not self._reader.closes(self._reader.skip(hit[0])) or spot in scan.verbs:
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

    def _elided(self, at: int, end: int, subjects: list[Phrase]) -> Predicate | None:
        """ "then the gear", "the drain screw second", "new seals throughout": the verb is the one before, or fit."""
        scan, text = self._scan, self._scan.text
        if any(part.weak or not part.is_part or part.kind in ("measure", "tool") for part in subjects):
            return None
        if self._reader.followed_by_verb(subjects[-1]) or (end in scan.ending and text[end : end + 1] == ["'s"]):
            return None
        found = self._found
        if text[at - 2 : at] == ["it", "'s"] and "then" in text[max(0, at - 4) : at - 2]:
            found = found[:-1]
        last = found[-1] if found else None
        if last is not None and (last.action not in _ORDERED or at - last.end > 12):
            last = None
        if last is None and found and not self._is_first(end) and not subjects[0].condition == "new":
            return None
        if scan.gap[at - 2 : at - 1] == [SENTENCE] and text[at - 2 : at] == ["and", "then"]:
            return None
        before = self._order_before(at)
        after = self._rules.cues["first"].at(text, end) or self._rules.cues["order"].at(text, end)
        after = after if after and text[end] != "then" and self._reader.closes(after[0]) else None
        new = subjects[0].condition == "new" and self._stands_alone(at, end) and subjects[0].kind in ("part", "fastener", "")
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

    def _is_first(self, end: int) -> bool:
        return self._rules.cues["first"].at(self._scan.text, end) is not None

    def _order_before(self, at: int) -> bool:
        """True after "then", "followed by", "and finally", "then it's"."""
        text = self._scan.text
        if at > 2 and text[at - 2 : at] == ["it", "'s"]:
            at -= 2
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
        if not (at == 0 or scan.gap[at] or before in self._rules.words["openers"] or at == self._limit()):
            return None
        verb = scan.verbs.get(end)
        subject = scan.starting.get(end)
        if text[end] == "with" and not scan.gap[end]:
            objects, stop = self._reader.objects_at(end + 1, False)
            form = "s"
        elif verb and any(
            reading.lemma in self._rules.middle and reading.tags & {"s", "past", "base"} for reading in verb[1]
        ):
            objects, stop = self._reader.objects_at(verb[0], False)
            form = "s" if any("s" in reading.tags for reading in verb[1]) else "past"
        elif (
            subject
            and subject.kind != "person"
            and text[subject.end : subject.end + 1] in (["goes"], ["went"], ["comes"], ["came"])
        ):
            objects, stop, form = [subject], subject.end + 1, "s"
        else:
            return None
        objects = [part for part in objects if part.is_part or part.is_pronoun]
        if not objects:
            return None
        return Predicate(
            at, at, at, stop, hit[1], form, "verbless", "", None, objects, said_as=" ".join(text[at : end + 1])
        )


_STANDING = frozenset(("sit", "rest", "run", "hang", "locate", "seat", "reach", "lie", "stand", "live", "bear"))
_ORDERED = frozenset(("fit", "remove", "assemble", "dismantle"))
_ATTACHING = frozenset(
    ("on", "of", "for", "in", "at", "inside", "between", "behind", "under", "near", "around", "from", "to")
)
_WANTING = frozenset(("need", "needs", "needed", "want", "wants", "require", "requires", "needing", "deserves"))
_BEFORE_STATE = frozenset(
    "all not now just already nearly almost both still only finally fully properly nice and well".split()
)


def _form(tags: frozenset[str], chain: list[str], subject: str) -> str:
    """The form of the verb where its spelling leaves a choice."""
    if len(tags) == 1:
        return next(iter(tags))
    helpers = [word for word in chain if word in _HELPERS]
    last = helpers[-1] if helpers else ""
    if last in (
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
    ):
        return "pp" if "pp" in tags else "ing" if "ing" in tags else "base"
    if last == "'d":
        return "pp" if "base" not in tags else "past"
    if last:
        return "base" if "base" in tags else next(iter(sorted(tags)))
    if "past" in tags and not (subject == "you" and "base" in tags):
        return "past"
    return "base" if "base" in tags else next(iter(sorted(tags)))


_HELPERS = frozenset(
    "have has had having be is are was were been being 's 'd am got get gets will would shall should can could may might"
    " must do does did to let".split()
)


def _last_of(chain: list[str], wanted: frozenset[str], helpers: frozenset[str]) -> str:
    """The last helping verb of the chain if it is one of `wanted`, else ""."""
    for word in reversed(chain):
        if word in helpers:
            return word if word in wanted else ""
        if word == "to":
            return ""
    return ""


def _participle(words: str, rules: Rules) -> str:
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
