"""Noun phrases (parts with the words that describe them) and verbs, told apart without a parser."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from pipeline.events.reading import PAUSE, Unit, split_word
from pipeline.events.rules import PhraseTable, Rules, Verb
from pipeline.records import Quantity
from pipeline.vocabulary import Term, Vocabulary, regular_plural

FIGURE_KINDS = frozenset(("torque", "volume", "pressure", "temperature", "duration", "viscosity", "mass", "clearance"))


@dataclass(frozen=True, slots=True)
class Phrase:
    """A noun phrase over units `start`..`end` (half-open).

    `name` is the part as said, in the singular and without the words that describe it; "" for a pronoun or for
    something that is no part. `kind` is the vocabulary's ("" if not there), "person" or "pronoun".
    """

    start: int
    end: int
    name: str
    kind: str
    head: str
    determiner: str = ""
    plural: bool = False
    count: int | None = None
    side: str = ""
    position: str = ""
    condition: str = ""
    finish: str = ""
    measure: str = ""
    assembly: str = ""
    pair: str = ""
    weak: bool = False

    @property
    def is_part(self) -> bool:
        """True for a named thing that something can be done to."""
        return bool(self.name) and self.kind not in ("person", "pronoun", "nothing")

    @property
    def is_pronoun(self) -> bool:
        """True for "it", "those", "the new one"."""
        return self.kind == "pronoun"


@dataclass(slots=True)
class Scan:
    """What is known of each unit after the first look."""

    units: Sequence[Unit]
    text: list[str]
    gap: list[int]
    phrases: list[Phrase] = field(default_factory=list)
    verbs: dict[int, tuple[int, tuple[Verb, ...]]] = field(default_factory=dict)
    starting: dict[int, Phrase] = field(default_factory=dict)
    ending: dict[int, Phrase] = field(default_factory=dict)
    figures: dict[int, int] = field(default_factory=dict)
    torques: set[int] = field(default_factory=set)
    volumes: set[int] = field(default_factory=set)


def term_table(vocabulary: Vocabulary) -> PhraseTable[tuple[Term, str, bool]]:
    """Every way to say a term -> (term, the singular as said, plural?)."""
    rows: list[tuple[str, tuple[Term, str, bool]]] = []
    for term in vocabulary.terms:
        if term.kind in ("action", "finish"):
            continue
        for spelling in term.spellings:
            rows.append((spelling.lower(), (term, spelling, False)))
            plural = term.plural if spelling == term.name else regular_plural(spelling)
            if plural and plural != spelling:
                rows.append((plural.lower(), (term, spelling, True)))
    return PhraseTable(rows)


class PhraseFinder:
    """Splits units into noun phrases and verbs. One per vocabulary; holds no state between calls."""

    def __init__(self, rules: Rules, vocabulary: Vocabulary) -> None:
        self._rules = rules
        self._terms = term_table(vocabulary)
        words = rules.words
        self.determiners = words["determiners"] | words["possessives"] | words["demonstratives"]
        self.small = (
            self.determiners | words["subjects"] | words["be"] | words["have"] | words["get"] | words["do"]
            | words["modals"] | words["negatives"] | words["adverbs"] | words["prepositions"] | words["conjunctions"]
            | words["openers"] | words["things"] | _PARTICLES | {"'s", "'d", "to", "us", "me", "him", "let", "going"}
        )  # fmt: skip
        self._auxiliary = words["be"] | words["have"] | words["get"] | words["do"] | words["modals"]

    def scan(self, units: Sequence[Unit], quantities: Sequence[Quantity], first_unit: Mapping[int, int]) -> Scan:
        """All phrases and verbs of the units. `first_unit` gives the unit of an original word."""
        scan = Scan(units, [unit.text for unit in units], [unit.gap for unit in units])
        for qty in quantities:
            start, end = first_unit.get(qty.start_word), first_unit.get(qty.end_word, len(units))
            if start is not None and end > start and qty.kind != "count":
                scan.figures[start] = end
                if qty.kind == "torque":
                    scan.torques.add(start)
                elif qty.kind == "volume":
                    scan.volumes.add(start)
        index = 0
        while index < len(units):
            index = self._step(scan, index)
        for phrase in scan.phrases:
            scan.starting[phrase.start] = phrase
            scan.ending[phrase.end] = phrase
        return scan

    def _step(self, scan: Scan, index: int) -> int:
        found = self._rules.verbs.at(scan.text, index)
        if found and self._is_verb(scan, index, found[0], found[1]):
            scan.verbs[index] = found
            return found[0]
        phrase = self.phrase_at(scan, index)
        if phrase:
            scan.phrases.append(phrase)
            return phrase.end
        return scan.figures.get(index, index + 1)

    # Verb or noun?

    def _is_verb(self, scan: Scan, index: int, end: int, verbs: tuple[Verb, ...]) -> bool:
        text, words = scan.text, self._rules.words
        word = text[index]
        if word == "do" and text[end : end + 1] == ["with"]:
            return True
        if word in words["do"] and "up" in text[end : end + 6] and not any(scan.gap[end : text.index("up", end) + 1]):
            nearest = text.index("up", end)
            return nearest == end or self.phrase_ends(scan, end) == nearest
        if word in self._auxiliary and word not in ("have", "had", "having", "get", "got", "getting", "gets", "has"):
            return False
        tags = frozenset().union(*(verb.tags for verb in verbs))
        before = text[index - 1] if index and not scan.gap[index] else ""
        after = text[end] if end < len(text) and not scan.gap[end] else ""
        takes_object = after in self.determiners or after in ("it", "them") or self._takes_particle(verbs, text, end)
        if word in words["adverbs"]:
            opens = not before or scan.gap[index] or before in _BEFORE_ORDER or before in words["subjects"]
            opens = opens or (before in _PARTICLES and after in self.determiners)
            return (
                after not in ("off", "on", "in", "up")
                and bool(takes_object and opens)
                or before in ("to", "will", "us")
            )
        if after == "to" and tags == {"base"} and all(verb.lemma in self._rules.plain for verb in verbs):
            return False
        if tags == {"s"} and before not in _SUBJECT_LIKE and not _noun_ends_at(scan, index):
            return word in ("goes", "comes", "needs", "wants")
        if tags <= {"base", "s"} and before in _PARTICLES and not takes_object:
            return False
        side = self._rules.side.at(text, index)
        if side and (side[0] > end or self.term_at(scan, end)):
            return False
        term = self.term_at(scan, index)
        if term and term[0] > end and before != "to":
            return False
        if before in words["subjects"] or before in words["modals"] or before in ("not", "to", "us", "will"):
            return before != "to" or "base" in tags or text[index - 2] in ("round", "around", "forward")
        if before in ("quarter", "half", "eighth", "third", "full"):
            return False
        if before in ("it", "this", "that", "which", "everything") and not scan.gap[index]:
            return bool(tags & {"s", "past", "pp"}) or (before in ("which", "that", "it") and not term)
        if before in ("these", "those", "both", "all", "them"):
            return not term and bool(tags & {"base", "past", "pp", "ing"})
        if before in ("is", "was") and tags == {"base"} and takes_object:
            return True
        if tags <= {"base", "s"} and self._names_what_follows(scan, index, end):
            return False
        if before in words["be"] or before in words["have"] or before in words["get"]:
            return bool(tags & {"pp", "ing"}) and not (
                term and before in words["have"] and self._nounish(scan, end) is False and "pp" not in tags
            )
        if before in self.determiners or (before in words["adjectives"] and before not in words["adverbs"]):
            return False
        if self._descriptive(text, index - 1) and before not in words["adverbs"]:
            return False
        if before in words["prepositions"] and before not in words["adverbs"] and before not in _PARTICLES:
            return "ing" in tags and not term
        opens_object = takes_object or (
            after == "and"
            and (not before or scan.gap[index] > 0)
            and "base" in tags
            and self._rules.verbs.at(text, end + 1)
        )
        if term:
            if _noun_ends_at(scan, index):
                return False if tags <= {"base", "s"} else bool(tags & {"past", "pp"})
            return bool(tags & {"base", "past", "pp"}) and bool(
                opens_object or (self._descriptive(text, end) and "base" in tags)
            )
        if tags & {"past", "pp"} and self._rules.condition.at(text, index) and self._opens_name(scan, end):
            return False
        if tags <= {"base", "s"} and self._after_verb(scan, index) and not takes_object:
            return False
        return True

    def _names_what_follows(self, scan: Scan, index: int, end: int) -> bool:
        """ "lock nut tightened", "feed screw out": a verb's form that is the first part of a name."""
        text, before = scan.text, scan.text[index - 1] if index else ""
        if before in ("to", "not", "will", "us") or before in self._rules.words["subjects"] | self._rules.words["modals"]:
            return False
        noun = self.term_at(scan, end)
        at = noun[0] if noun else end + 1
        if at >= len(text) or scan.gap[end] or scan.gap[at] or text[end] in self.small or not text[end].isalpha():
            return False
        verb = self._rules.verbs.at(text, at)
        passive = verb is not None and any({"pp"} <= reading.tags for reading in verb[1])
        state = self._rules.states.at(text, at)
        stands = state is not None and (state[0] >= len(text) or scan.gap[state[0]] > 0)
        return passive or stands or text[at] in ("is", "'s", "are", "has", "was", "goes", "comes")

    def _opens_name(self, scan: Scan, at: int) -> bool:
        """True where a bare name may start: "broken | grease line"."""
        text = scan.text
        return at < len(text) and not scan.gap[at] and text[at] not in self.small and text[at][:1].isalpha()

    def _after_verb(self, scan: Scan, index: int) -> bool:
        """True right after a verb that takes an object: "replace | suspect sensor"."""
        if not index or scan.gap[index] or index - 1 not in scan.verbs:
            return False
        return any(verb.lemma in self._rules.plain for verb in scan.verbs[index - 1][1])

    def _takes_particle(self, verbs: tuple[Verb, ...], text: Sequence[str], end: int) -> bool:
        for verb in verbs:
            phrasal = self._rules.phrasal.get(verb.lemma)
            if phrasal and phrasal.at(text, end):
                return True
            if verb.lemma in self._rules.motion and end < len(text) and text[end] in _PARTICLES:
                return True
        return False

    def _descriptive(self, text: Sequence[str], index: int) -> bool:
        if not 0 <= index < len(text):
            return False
        tables = (self._rules.side, self._rules.position, self._rules.condition)
        return any(table.at(text, index) for table in tables) or text[index] in _DIGITS

    def _nounish(self, scan: Scan, index: int) -> bool:
        return index < len(scan.text) and scan.gap[index] == 0 and self._terms.at(scan.text, index) is not None

    # Noun phrases

    def phrase_ends(self, scan: Scan, start: int) -> int:
        """Where the phrase that starts at a unit ends; -1 where none starts."""
        phrase = self.phrase_at(scan, start)
        return phrase.end if phrase else -1

    def term_at(self, scan: Scan, start: int) -> tuple[int, tuple[Term, str, bool]] | None:
        """The vocabulary term that starts at a unit, within one breath."""
        hit = self._terms.at(scan.text, start)
        while hit and any(scan.gap[start + 1 : hit[0]]):
            cut = next(at for at in range(start + 1, hit[0]) if scan.gap[at])
            hit = self._terms.at(scan.text[:cut], start)
        return hit

    def phrase_at(self, scan: Scan, start: int) -> Phrase | None:
        """The noun phrase that starts exactly at `start`, or None."""
        words = self._rules.words
        word = scan.text[start]
        if word in words["subjects"] and word != "they":
            return Phrase(start, start + 1, "", "person", word)
        following = scan.text[start + 1] if start + 1 < len(scan.text) else ""
        if word == "that" and following in _ARTICLES:
            return None
        if word in _PRONOUNS:
            return Phrase(start, start + 1, "", "pronoun", word, plural=word in ("them", "they", "everything"))
        return _Reader(self, scan, start).read()

    def finish_at(self, text: Sequence[str], start: int) -> tuple[int, str] | None:
        """(end, words) of a finish said at `start`: "enamelled in gloss grey", "satin black", "zinc plated"."""
        finish = self._rules.finish
        index, said, strong = start, [], False
        hit = finish["process"].at(text, index)
        if hit:
            said += text[index : hit[0]]
            index, strong = hit[0], True
            if index < len(text) and text[index] in ("in", "a"):
                index += 1
        tone = index
        while hit := finish["sheen"].at(text, index):
            index = hit[0]
        colour = finish["colour"].at(text, index)
        if strong and not colour and text[index - 1] == "in" and index + 1 < len(text):
            colour = finish["colour"].at(text, index + 1)
            index += 1 if colour else 0
        if colour and (index > tone or strong):
            said += text[tone : colour[0]]
            index, strong = colour[0], True
        elif colour and not strong and (hit := finish["process"].at(text, colour[0])):
            return hit[0], " ".join(text[start : hit[0]])
        elif index > tone and strong and index < len(text) and text[index] in ("finish",):
            said += text[tone:index]
        else:
            index = tone
        if not strong:
            return None
        end = index
        while text[end - 1] in ("in", "a") and end > start:
            end -= 1
        return (end, " ".join(said)) if said else None

    def singular(self, word: str) -> tuple[str, bool]:
        """An unknown noun in the singular, and whether it was a plural.

        >>> from pipeline.events.rules import load_rules
        >>> finder = PhraseFinder(load_rules(), Vocabulary((), {}, {}))
        >>> finder.singular("bushes"), finder.singular("bodies"), finder.singular("glass"), finder.singular("plates")
        (('bush', True), ('body', True), ('glass', False), ('plate', True))
        """
        if word in _NO_PLURAL or len(word) < 4 or not word.endswith("s") or word.endswith(("ss", "us", "is")):
            return word, False
        if word.endswith("ies") and len(word) > 4:
            return word[:-3] + "y", True
        if word.endswith(("ches", "shes", "sses", "xes")):
            return word[:-2], True
        return word[:-1], True


_ARTICLES = frozenset(("the", "a", "an", "my", "this", "these", "those", "all", "both"))
_PRONOUNS = frozenset(("it", "them", "they", "everything", "which", "itself"))
_NO_PLURAL = frozenset(
    ("points", "forks", "gas", "chassis", "pliers", "brass", "bars", "controls", "electrics", "ways")
)
_QUANTIFIERS = frozenset(
    ("all", "both", "each", "some", "most", "none", "any", "half", "rest", "one", "neither", "either")
)
_PARTICLES = frozenset(("off", "out", "up", "down", "on", "in", "over", "through", "apart", "back", "away", "together"))
_SUBJECT_LIKE = frozenset(
    ("it", "that", "this", "which", "who", "everything", "he", "she", "one", "just", "then", "also", "there")
)
_BEFORE_ORDER = frozenset(("and", "then", "or", "so", "now", "just", "next", "please", "first"))
_DIGITS = frozenset("two three four five six seven eight nine ten twelve".split())
_ONLY_AFTER_ARTICLE = frozenset(
    ("back", "inside", "outside", "right", "left", "used", "shot", "forward", "split", "original")
)
_MODEL = re.compile(r"^(m\d+|\d+([./x]\d+)*)$")


def _noun_ends_at(scan: Scan, index: int) -> bool:
    return bool(scan.phrases) and scan.phrases[-1].end == index and scan.phrases[-1].is_part and scan.gap[index] == 0


class _Reader:
    """Reads one noun phrase: (quantity) (article) (words that describe) nouns."""

    def __init__(self, finder: PhraseFinder, scan: Scan, start: int) -> None:
        self._finder, self._scan, self._start = finder, scan, start
        self._rules, self._terms = finder._rules, finder._terms
        self._at = start
        self._nouns: list[str] = []
        self._term: Term | None = None
        self._last_term_plural: bool | None = None
        self._end = start
        self._said: dict[str, str] = {}
        self._determiner = ""
        self._count: int | None = None
        self._described = False
        self._known = False
        self._spelling = ""

    def read(self) -> Phrase | None:
        scan, text = self._scan, self._scan.text
        pronoun = self._opening()
        if pronoun:
            return pronoun
        while self._at < len(text) and scan.gap[self._at] < (1 if self._nouns else PAUSE) or self._at == self._start:
            if not self._step():
                break
        if self._nouns:
            return self._named()
        return self._unnamed()

    def _opening(self) -> Phrase | None:
        text, words = self._scan.text, self._rules.words
        for _ in range(4):
            if self._at >= len(text) or (self._at > self._start and self._scan.gap[self._at] >= PAUSE):
                break
            word = text[self._at]
            after = text[self._at + 1] if self._at + 1 < len(text) else ""
            if word in _QUANTIFIERS and after == "of":
                self._determiner = self._determiner or word
                if word in ("both",):
                    self._count = 2
                self._at += 2
                if self._at < len(text) and text[self._at] in ("them", "it", "those", "these", "that", "this"):
                    nxt = text[self._at + 1] if self._at + 1 < len(text) else ""
                    if text[self._at] in ("them", "it") or not self._could_be_noun(self._at + 1, nxt):
                        self._at += 1
                        return self._pronoun(word, plural=True)
                continue
            number = self._rules.numbers.at(text, self._at)
            if number and self._at not in self._scan.figures and not (word == "one" and self._determiner):
                self._count, self._at = number[1], number[0]
                self._determiner = self._determiner or "a"
                if self._at < len(text) and text[self._at] == "of":
                    self._at += 1
                continue
            if word.isdigit() and int(word) <= 60 and self._at not in self._scan.figures and after.endswith("s"):
                self._count, self._at = int(word), self._at + 1
                continue
            if word in self._finder.determiners:
                self._determiner, self._at = word, self._at + 1
                continue
            break
        self._end = self._at
        return None

    def _step(self) -> bool:
        scan, text, at = self._scan, self._scan.text, self._at
        words = self._rules.words
        word = text[at]
        if at in scan.figures and not self._nouns:
            self._at = scan.figures[at]
            if self._at < len(text) and text[self._at] == "of":
                self._at += 1
            return self._at < len(text)
        term = self._finder.term_at(self._scan, at)
        if term and term[1][0].kind == "material" and not self._nouns and self._noun_soon(term[0]):
            self._at, self._described = term[0], True
            return True
        if term and not self._blocked(at, term[0]):
            self._nouns += [*text[at : term[0] - 1], split_word(term[1][1].lower().split()[-1])[-1]]
            self._spelling = term[1][1]
            self._term, self._last_term_plural = term[1][0], term[1][2]
            self._note_place(text[at : term[0]])
            self._known = True
            self._at = self._end = term[0]
            return True
        if word == "'s":
            return self._possessive()
        group = self._nouns[-1:] and self._nouns[-1] in words["groups"]
        if word == "of" and self._nouns and (group or self._rules.measures.at([*self._nouns, ""], 0)):
            if not group:
                self._said["measure"] = " ".join(self._nouns)
            self._nouns, self._term, self._known = [], None, False
            self._at += 1
            while self._at < len(text) and text[self._at] in self._finder.determiners:
                self._at += 1
            return self._at < len(text)
        if self._nouns:
            return self._more_noun(word, at)
        return self._describing(word, at)

    def _blocked(self, at: int, end: int) -> bool:
        """A term that is really the next verb: "the bolts clamp the cover"."""
        if not self._nouns or end > at + 1:
            return False
        after = self._scan.text[end] if end < len(self._scan.text) else ""
        return bool(
            self._last_term_plural
            and self._rules.verbs.at(self._scan.text, at)
            and (after in self._finder.determiners or after in ("up", "down", "on", "it"))
        )

    def _note_place(self, said: Sequence[str]) -> None:
        for index in range(len(said) - 1):
            for name, table in (("side", self._rules.side), ("position", self._rules.position)):
                hit = table.at(said, index)
                if hit and hit[0] < len(said):
                    self._said.setdefault(name, hit[1])

    def _possessive(self) -> bool:
        text, at = self._scan.text, self._at
        nxt = at + 1
        if not self._nouns or nxt >= len(text):
            return False
        condition = self._rules.condition.at(text, nxt)
        look = condition[0] if condition else nxt
        if look < len(text) and self._terms.at(text, look) and text[look] not in self._finder.small:
            self._nouns, self._term, self._known = [], None, False
            self._at = nxt
            return True
        return False

    def _more_noun(self, word: str, at: int) -> bool:
        if self._could_be_noun(at, word) and self._noun_like_verb(at):
            if self._finder.finish_at(self._scan.text, at) or self._rules.condition.at(self._scan.text, at):
                return False
            if self._last_term_plural:
                return False
            self._nouns.append(word)
            self._term, self._last_term_plural = None, None
            self._at = self._end = at + 1
            return True
        return False

    def _names_on(self, at: int) -> bool:
        """True where the name goes on: "end cap", "wear plate"."""
        text = self._scan.text
        if self._finder.term_at(self._scan, at):
            return True
        verb = self._rules.verbs.at(text, at)
        after = text[verb[0]] if verb and verb[0] < len(text) and not self._scan.gap[verb[0]] else ""
        return verb is not None and any("base" in reading.tags for reading in verb[1]) and after not in self._finder.determiners

    def _noun_like_verb(self, at: int) -> bool:
        """ "the tailstock bore", "self extracting bolts": a verb's form that goes on with the name."""
        text, verb = self._scan.text, self._rules.verbs.at(self._scan.text, at)
        if not verb:
            return True
        tags = frozenset().union(*(reading.tags for reading in verb[1]))
        end = verb[0]
        if tags == {"ing"}:
            return self._term is None and self._terms.at(text, end) is not None
        if tags & {"past", "pp", "ing"} or self._last_term_plural:
            return False
        after = text[end] if end < len(text) else ""
        if tags == {"s"}:
            known = all(reading.lemma not in self._rules.words["other"] for reading in verb[1])
            known = known and all(reading.lemma not in self._rules.middle for reading in verb[1])
            known = known or all(reading.lemma in self._rules.plain for reading in verb[1])
            return known and not (after in self._finder.determiners or after in _PARTICLES or after in ("it", "them"))
        named = after in self._finder.determiners or after in ("it", "them")
        takes_object = named or after in _PARTICLES
        singular = bool(self._determiner) and not self._finder.singular(self._nouns[-1])[1]
        return "base" in tags and (singular and not named or not takes_object or self._scan.gap[end] > 0)

    def _describing(self, word: str, at: int) -> bool:
        text, words = self._scan.text, self._rules.words
        bare_start = at == self._start
        finish = self._finder.finish_at(text, at)
        if finish and not (bare_start and self._rules.verbs.at(text, at) and not self._noun_soon(finish[0])):
            self._said["finish"] = " ".join(filter(None, (self._said.get("finish"), finish[1])))
            self._at, self._described = finish[0], True
            return True
        for name in ("side", "position", "condition"):
            table: PhraseTable[str] = getattr(self._rules, name)
            hit = table.at(text, at)
            if hit and not (bare_start and word in _ONLY_AFTER_ARTICLE and not self._noun_soon(hit[0])):
                end = hit[0]
                longer = self._finder.term_at(self._scan, at + 1) if end > at + 1 and text[end - 1] == "side" else None
                if longer and longer[0] > end:
                    end = at + 1
                self._said.setdefault(name, hit[1])
                self._at = self._end = end
                self._described = True
                return True
            if hit:
                return False
        number = self._rules.numbers.at(text, at)
        if number and self._count is None and word != "one":
            self._count, self._at = number[1], number[0]
            return True
        if word in ("one", "ones") and (self._determiner or self._described):
            self._at = self._end = at + 1
            self._said["one"] = word
            return False
        if _MODEL.match(word):
            self._at += 1
            return True
        if word in words["adjectives"] and (self._determiner or not bare_start or self._noun_soon(at + 1)):
            self._at = at + 1
            self._described = True
            return True
        follows = text[at + 1] if at + 1 < len(text) else ""
        if word in words["leading"] and follows and not self._scan.gap[at + 1] and self._names_on(at + 1):
            self._nouns.append(word)
            self._at = self._end = at + 1
            return True
        if follows == "of" and (word in words["measures"] or word in words["groups"]) and self._determiner:
            self._nouns.append(word)
            self._at = self._end = at + 1
            return True
        if word in words["not_nouns"] and word not in self._finder.small:
            if self._determiner or self._described:
                self._said["nothing"] = word
                self._at = self._end = at + 1
            return False
        if word in _PARTICLES and self._determiner and at == self._start + 1 and self._noun_soon(at + 1):
            self._nouns.append(word)
            self._at = self._end = at + 1
            return True
        verb = self._rules.verbs.at(text, at)
        if verb and (self._determiner or self._described) and word not in self._finder.small:
            return self._participle(verb[0], verb[1], at)
        if self._could_be_noun(at, word):
            self._nouns.append(word)
            self._term = None
            self._at = self._end = at + 1
            return True
        return False

    def _participle(self, end: int, verbs: Sequence[Verb], at: int) -> bool:
        """ "the machined face" (left out of the name), "the locking ring" (kept)."""
        text = self._scan.text
        tags = frozenset().union(*(verb.tags for verb in verbs))
        demonstrative = self._determiner in self._rules.words["demonstratives"] or self._determiner in ("both", "all")
        if demonstrative and not self._described and not self._noun_soon(end):
            return False
        if tags & {"past", "pp"} and "base" not in tags and text[at] != "felt":
            self._at = end
            return end < len(text)
        self._nouns += text[at:end]
        self._at = self._end = end
        return True

    def _noun_soon(self, at: int) -> bool:
        text = self._scan.text
        for index in range(at, min(at + 3, len(text))):
            if self._scan.gap[index]:
                return False
            if self._terms.at(text, index) or text[index] in ("one", "ones"):
                return True
            if text[index] in self._finder.small and not self._rules.position.at(text, index):
                return False
        return at < len(text) and not self._scan.gap[at] and self._could_be_noun(at, text[at])

    def _could_be_noun(self, at: int, word: str) -> bool:
        return (
            word.isascii()
            and word[:1].isalpha()
            and len(word) > 2
            and word not in self._finder.small
            and word not in self._rules.words["not_nouns"]
            and at not in self._scan.figures
        )

    def _named(self) -> Phrase | None:
        last, plural = self._nouns[-1], bool(self._last_term_plural)
        if self._term is None:
            last, plural = self._finder.singular(last)
        name = self._joined([*self._nouns[:-1], last])
        bare_unknown = not self._known and not self._determiner and not self._described
        if len(self._nouns) == 1 and self._nouns[0] in self._rules.words["groups"] and self._term is None:
            return self._pronoun("one", plural=self._nouns[0] != "piece")
        if bare_unknown and all(
            self._rules.finish["colour"].at([word], 0) or self._rules.finish["sheen"].at([word], 0) for word in self._nouns
        ):
            return None
        verb = self._rules.verbs.at(self._scan.text, self._start) if bare_unknown else None
        if verb and not all(reading.tags <= {"s", "base"} for reading in verb[1]):
            return None
        person = last in self._rules.words["persons"]
        return Phrase(
            self._start,
            self._end,
            name,
            "person" if person else self._term.kind if self._term else "",
            last,
            self._determiner,
            (plural and self._determiner != "one" and self._count != 1) or (self._count or 1) > 1,
            self._count if not (self._determiner in ("both",) and self._count is None) else 2,
            self._said.get("side", ""),
            self._said.get("position", ""),
            self._said.get("condition", ""),
            self._said.get("finish", ""),
            self._said.get("measure", ""),
            self._term.part_of if self._term else "",
            self._term.pair if self._term else "",
            bare_unknown,
        )

    def _joined(self, nouns: list[str]) -> str:
        """The name with the hyphens that were said, in the vocabulary's capitals."""
        name = ""
        units = self._scan.units
        for place, noun in enumerate(nouns):
            at = self._end - len(nouns) + place
            same = place > 0 and units[at].token == units[at - 1].token
            name += ("-" if same else " ") + noun
        name = name.strip()
        return self._spelling if self._spelling.lower() == name else name

    def _unnamed(self) -> Phrase | None:
        if "nothing" in self._said:
            head = self._said["nothing"]
            person = head in self._rules.words["persons"]
            return Phrase(
                self._start, self._end, "", "person" if person else "nothing", head, self._determiner,
                side=self._said.get("side", ""),
            )  # fmt: skip
        if "one" in self._said or (self._described and self._determiner and self._end > self._start + 1):
            return self._pronoun("one", plural=self._said.get("one") == "ones" or (self._count or 1) > 1)
        demonstratives = self._rules.words["demonstratives"]
        first = self._scan.text[self._start]
        if first in demonstratives:
            return replace_end(self._pronoun(first, plural=first in ("these", "those")), self._start + 1)
        if first == "each" and self._end <= self._start + 1:
            return replace_end(self._pronoun(first, plural=True), self._start + 1)
        if first == "both" or (self._count or 0) > 1 and self._determiner in ("all", "these", "those", "the"):
            return replace_end(self._pronoun(first, plural=True), self._start + 1 if first == "both" else self._end)
        return None

    def _pronoun(self, head: str, plural: bool) -> Phrase:
        return Phrase(
            self._start, max(self._end, self._at if self._at > self._start else self._start + 1), "", "pronoun", head,
            self._determiner, plural, self._count, self._said.get("side", ""), self._said.get("position", ""),
            self._said.get("condition", ""), self._said.get("finish", ""),
        )  # fmt: skip


def replace_end(phrase: Phrase, end: int) -> Phrase:
    """The same phrase, ending elsewhere."""
    return replace(phrase, end=end)
