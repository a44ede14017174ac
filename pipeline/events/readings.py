"""What a verb means with the words after it: "put the cover on", "give it a coat", "a smear of grease on the lip"."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from pipeline.events.objects import ObjectReader
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.reading import COMMA, PAUSE
from pipeline.events.rules import PhraseTable, Rules, Verb

FinishAt = Callable[[Sequence[str], int], tuple[int, str] | None]
# The better one of two readings of a verb has the higher rank.
OTHER, BARE, PLAIN, MOVED, PHRASAL, SUBSTANCE, LIGHT = range(7)


@dataclass(slots=True)
class Reading:
    """One way to read a verb with what follows it. `destination` tells that the phrase after is a place, not a part."""

    rank: int
    action: str
    objects: list[Phrase] = field(default_factory=list)
    end: int = 0
    said_as: str = ""
    fluid: str = ""
    finish: str = ""
    particle_first: bool = False
    target: bool = False
    to_bench: bool = False


class VerbReader(ObjectReader):
    """Reads what follows a verb."""

    def __init__(self, rules: Rules, scan: Scan, finish_at: FinishAt) -> None:
        super().__init__(rules, scan)
        self._finish_at = finish_at

    def best(self, verb: Verb, end: int, intransitive: bool) -> Reading:
        """The reading of highest rank of one verb whose words end at `end`."""
        readings: list[Reading | None] = [self._meant(verb, self._moved(verb, end, intransitive))]
        if verb.lemma in self._rules.words["giving"] | self._rules.words["getting"]:
            readings.append(self._light(verb, end))
        if verb.lemma in self._rules.words["applying"] or self._rules.motion.get(verb.lemma) is not None:
            readings.append(self._substance(end))
        return max((reading for reading in readings if reading), key=lambda reading: reading.rank)

    def _meant(self, verb: Verb, reading: Reading) -> Reading:
        """Nothing where a word of [unless] gives the verb another meaning: "turn the crank clockwise"."""
        unless = self._rules.unless.get(verb.lemma)
        if (
            unless
            and reading.rank in (BARE, PLAIN, OTHER, MOVED)
            and (unless.at(self._scan.text, reading.end) or unless.at(self._scan.text, self.skip(reading.end)))
        ):
            return Reading(OTHER, "", end=reading.end)
        return reading

    def _moved(self, verb: Verb, end: int, intransitive: bool) -> Reading:
        rules, _scan = self._rules, self._scan
        plain, bare = rules.plain.get(verb.lemma, ""), rules.motion.get(verb.lemma)
        phrasal = rules.phrasal.get(verb.lemma)
        at = self.skip(end)
        if plain == "measure" and (read := self._figure_at(at)):
            return Reading(PLAIN, plain, read[0], read[1], verb.lemma)
        if plain in ("machine", "clean") and (cut := self._figure_off(at)):
            return Reading(PLAIN, "machine" if plain != "clean" else plain, cut[0], cut[1], verb.lemma)
        broken = at < len(self._scan.gap) and self._scan.gap[at] >= PAUSE
        if not broken and (figure := self._figure_in(verb, at)):
            return figure
        first = self._particle(phrasal, bare is not None, end) or self._particle(phrasal, bare is not None, at)
        if first and verb.lemma in ("get", "have") and self._scan.text[first[0] : first[0] + 1] == ["here"]:
            first = None
        if first:
            after = self.skip(first[0])
            objects, stop = ([], first[0]) if intransitive else self.objects_at(after, False)
            if not objects and intransitive is False and first[2] and bare is not None:
                stop = first[0]
            to_bench = self.to_place(first[0]) and first[1] == "fit"
            return Reading(
                first[2], "" if to_bench else first[1], objects, stop, f"{verb.lemma} {first[3]}", particle_first=True,
                to_bench=to_bench,
            )  # fmt: skip
        objects, stop = self.objects_at(at, bare is not None or phrasal is not None)
        if not objects:
            stop = end
        else:
            later = self._particle(phrasal, bare is not None, stop) or self._particle(
                phrasal, bare is not None, self._skip_all(stop)
            )
            if later and verb.lemma in ("get", "have") and self._scan.text[later[0] : later[0] + 1] == ["here"]:
                later = None
            if later:
                objects, stop = self._and_another(objects, later[0])
                to_bench = self.to_place(later[0]) and later[1] == "fit"
                return Reading(
                    later[2], "" if to_bench else later[1], objects, stop, f"{verb.lemma} {later[3]}",
                    to_bench=to_bench,
                )  # fmt: skip
        if plain in ("machine", "clean") and objects and self._scan.text[stop : stop + 1] == ["clean"]:
            return Reading(PLAIN, "clean", objects, stop + 1, verb.lemma)
        if plain:
            return Reading(PLAIN, plain, objects, max(stop, end), verb.lemma)
        if bare:
            return Reading(BARE, bare, objects, max(stop, end), verb.lemma)
        return Reading(OTHER, "", objects, max(stop, end), verb.lemma)

    def _and_another(self, objects: list[Phrase], at: int) -> tuple[list[Phrase], int]:
        """ "taken the gearbox off, and the starter motor"."""
        text, gap = self._scan.text, self._scan.gap
        if at < len(text) and text[at] == "and" and gap[at] < PAUSE:
            more = self._scan.starting.get(at + 1)
            if more is not None and more.is_part and more.determiner == "the" and not self.followed_by_verb(more):
                return [*objects, more], more.end
        return objects, at

    def _figure_in(self, verb: Verb, at: int) -> Reading | None:
        """ "I drained eight hundred millilitres", "put six hundred in": the fluid talked about."""
        text = self._scan.text
        if at < len(text) and text[at] in ("about", "another", "roughly", "around"):
            at += 1
        end = self._scan.figures.get(at)
        if end is None or at not in self._scan.volumes:
            return None
        it = Phrase(at, at, "", "pronoun", "it")
        if self._rules.plain.get(verb.lemma) in ("drain", "fill", "top_up") and text[end : end + 1] != ["of"]:
            return Reading(PLAIN, self._rules.plain[verb.lemma], [it], end, verb.lemma)
        if verb.lemma in ("put", "pour", "get", "tip", "pump") and text[end : end + 1] in (["in"], ["back"]):
            return Reading(MOVED, "fill", [it], end + 1, f"{verb.lemma} in")
        return None

    def _figure_at(self, at: int) -> tuple[list[Phrase], int] | None:
        """ "measured thirty amps at the battery": the battery was measured."""
        end = self._scan.figures.get(at)
        if end is None or end + 1 >= len(self._scan.text) or self._scan.text[end] not in ("at", "on", "across", "in"):
            return None
        objects, stop = self.objects_at(self.skip(end + 1), False)
        return (objects, stop) if objects else None

    def _figure_off(self, at: int) -> tuple[list[Phrase], int] | None:
        """ "scraped two thou off the way": the way was worked on."""
        text = self._scan.text
        if at < len(text) and text[at] in ("about", "another", "roughly"):
            at += 1
        end = self._scan.figures.get(at)
        if end is None or end + 1 >= len(text) or text[end] not in ("off", "from"):
            return None
        objects, stop = self.objects_at(self.skip(end + 1), False)
        return (objects, stop) if objects else None

    def _particle(self, phrasal: PhraseTable[str] | None, moving: bool, at: int) -> tuple[int, str, int, str] | None:
        """(end, action, rank, words) of a particle at `at`."""
        text, gap = self._scan.text, self._scan.gap
        if at >= len(text) or gap[at] >= PAUSE:
            return None
        hit = phrasal.at(text, at) if phrasal else None
        moved = self._rules.particles.at(text, at) if moving else None
        if hit and (not moved or hit[0] >= moved[0] or text[moved[0] - 1] in ("on", "to", "in")):
            return hit[0], hit[1], PHRASAL, " ".join(text[at : hit[0]])
        if not moved:
            return None
        end = moved[0]
        if end < len(text) and text[end] in ("of", "to") and not gap[end]:
            end += 1
        if text[at:end] in (["from"], ["away"]) and not (end < len(text) and end in self._scan.starting):
            return (end, moved[1], MOVED, " ".join(text[at:end])) if text[at] == "away" else None
        if text[at] in (
            "under",
            "between",
            "around",
            "round",
            "behind",
            "against",
            "inside",
            "down",
            "through",
            "over",
        ):
            follows = self._scan.starting.get(end)
            if text[at] in ("under", "between", "around", "round", "behind", "against") and not follows:
                return None
        return end, moved[1], MOVED, " ".join(text[at:end])

    def _light(self, verb: Verb, end: int) -> Reading | None:
        """ "give it a coat", "it had a good clean", "have a look at the bores"."""
        scan, text = self._scan, self._scan.text
        at = self.skip(end)
        if at < len(text) and scan.gap[at] >= PAUSE:
            return None
        if verb.lemma == "do" and at < len(text) and text[at] == "with":
            at += 1
        objects: list[Phrase] = []
        if verb.lemma in self._rules.words["giving"]:
            objects, at = self.objects_at(at, False)
            if not objects:
                return None
            if len(objects) > 1 and objects[-1].determiner in ("a", "an", "another", "some"):
                objects, at = objects[:-1], objects[-2].end
        elif not (at < len(text) and (text[at] in ("a", "an", "another", "some") or self._rules.numbers.at(text, at))):
            return None
        substance = scan.starting.get(at)
        if substance and substance.measure and (hit := self._substance_name(substance, self._rules.substance_on)):
            return Reading(
                SUBSTANCE, hit, objects, substance.end, f"{verb.lemma} a {substance.measure}", substance.name
            )
        look = at
        while look < len(text) and look < at + 6 and scan.gap[look] < COMMA:
            light = self._rules.light.at(text, look)
            if light and (look > at or text[look] not in self._rules.words["determiners"]):
                return self._light_reading(verb, objects, look, light)
            look += 1
            if look < len(text) and look - at > 1 and text[look - 1] in self._rules.words["prepositions"]:
                break
        return None

    def _light_reading(self, verb: Verb, objects: list[Phrase], look: int, hit: tuple[int, str]) -> Reading:
        scan, text = self._scan, self._scan.text
        end, action = hit
        said_as = f"{verb.lemma} a {' '.join(text[look:end])}"
        fluid = finish = ""
        if end < len(text) and text[end] == "of" and not scan.gap[end]:
            finish_hit = self._finish_at(text, end + 1)
            phrase = scan.starting.get(end + 1)
            if finish_hit:
                finish, end = finish_hit[1], finish_hit[0]
            elif (colour := self._rules.finish["colour"].at(text, end + 1)) or (
                colour := self._rules.finish["plating"].at(text, end + 1)
            ):
                finish, end = " ".join(text[end + 1 : colour[0]]), colour[0]
            elif phrase:
                finish, end = (phrase.name if action == "coat" else ""), phrase.end
        elif end < len(text) and text[end] in ("at", "on", "over", "to", "for", "in") and not objects:
            objects, stop = self.objects_at(self.skip(end + 1), False)
            end = stop if objects else end
            return Reading(LIGHT, action, objects, end, said_as, fluid, finish, particle_first=True)
        return Reading(LIGHT, action, objects, end, said_as, fluid, finish)

    def _substance_name(self, phrase: Phrase, table: PhraseTable[str]) -> str:
        words = phrase.name.split()
        for start in range(len(words)):
            hit = table.at(words, start)
            if hit and hit[0] == len(words):
                return hit[1]
        return ""

    def substance_name(self, phrase: Phrase) -> str:
        """The action of a substance that a part got: "the wing got etch primer"; "" for anything else."""
        return self._substance_name(phrase, self._rules.substance_on)

    def _substance(self, end: int) -> Reading | None:
        """ "put a dab of sealant on both faces", "ran a tap through the hole"."""
        at = self.skip(end)
        phrase = self._scan.starting.get(at)
        return self.applied(phrase) if phrase and self._scan.gap[at] < PAUSE else None

    def applied(self, phrase: Phrase) -> Reading | None:
        """A substance or a cutting tool with the part it goes on; None for any other phrase."""
        scan, rules = self._scan, self._rules
        on, into = self._substance_name(phrase, rules.substance_on), self._substance_name(phrase, rules.substance_in)
        over = self._substance_name(phrase, rules.tool_over)
        if not (on or into or over):
            return None
        at = self.skip(phrase.end)
        preposition = rules.applying_on.at(scan.text, at) or rules.applying_in.at(scan.text, at)
        if not preposition or (at < len(scan.gap) and scan.gap[at] >= PAUSE):
            return None
        word = scan.text[preposition[0] - 1]
        inward = rules.applying_in.at(scan.text, at) is not None and word != "down"
        target, stop = self.objects_at(self.skip(preposition[0]), False)
        target = [part for part in target if part.is_part or part.is_pronoun]
        if self.to_place(preposition[0]):
            return None
        if over and not on and not into:
            if word in ("in", "into", "at"):
                return None
            if not target and word in ("through", "over", "across", "round", "around") and self.closes(preposition[0]):
                target, stop = [Phrase(at, at, "", "pronoun", "it")], preposition[0]
            if not target:
                return None
            return Reading(SUBSTANCE, over, target, stop, f"run a {phrase.name} {word}", target=True)
        action = into if inward and into and word != "to" else on
        if phrase.measure and on and word not in ("into",):
            action = (
                on
                if not (inward and into and phrase.measure in ("lot", "bit", "amount", "splash") and word == "in")
                else into
            )
        said_as = f"{phrase.name} {word}"
        return Reading(SUBSTANCE, action, target, stop if target else preposition[0], said_as, phrase.name, target=True)
