"""Lists of what lies on the bench, was bought or is wanted: their parts are shown, and nothing is done to them yet.

"So what have we got on the bench. Two new oil seals, two dust covers, new, and a pair of copper washers." The list goes
on over commas and full stops and ends where the speaker sets to work.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from pipeline.events.clauses import NONE, sentence_starts
from pipeline.events.phrase import PARTICLES, Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.rules import Rules

WORDLESS = frozenset(("read", "implied", "verbless"))
"""Voices of what is told without a verb of its own."""
# What was done to a part before it was laid out ("I've had them vapour blasted") does not end the list.
_HANDS_ON = frozenset(
    ("fit", "remove", "renew", "tighten", "torque", "slacken", "fill", "drain", "top_up", "connect", "disconnect",
     "dismantle", "assemble", "lubricate", "adjust", "route", "bleed", "seal", "align", "test")
)  # fmt: skip
# Words at the head of a sentence with which the speaker turns to the work.
_TURNS = frozenset(("right", "okay", "ok", "now", "next", "first", "then", "let", "before", "step"))
_GOES_ON = frozenset(("and", "plus", "oh", "also"))
_LONGEST, _FEWEST = 110, 3
_IS_BACK = (("is", "back"), ("'s", "back"), ("are", "back"), ("is", "back", "now"), ("'s", "back", "now"))


class OpenLists:
    """The lists of one scan. `predicates` are those of the sentence rules, with their status."""

    def __init__(self, scan: Scan, rules: Rules, predicates: Sequence[Predicate]) -> None:
        self._scan, self._rules = scan, rules
        self._starts = sentence_starts(scan)
        self._ends = [*self._starts[1:], len(scan.text)]
        self._works = [False] * len(self._starts)
        self._done_before = len(self._starts)
        for predicate in predicates:
            own = predicate.voice not in WORDLESS and predicate.action in _HANDS_ON and predicate.status != NONE
            if own and (number := self._number(predicate.verb)) >= 0:
                self._works[number] = True
        for phrase in scan.phrases:
            if phrase.is_part and is_placed(phrase, scan) and (number := self._number(phrase.start)) >= 0:
                self._works[number] = True
        self._done_before = next((number for number, works in enumerate(self._works) if works), len(self._starts))

    def idle(self) -> frozenset[int]:
        """Units where a part without a verb tells no work: all lists, and "either a new shaft or a sleeve"."""
        found = set(self.shown())
        for number, (start, end) in enumerate(zip(self._starts, self._ends, strict=True)):
            if not self._works[number] and "either" in self._scan.text[start:end]:
                found.update(range(start + self._scan.text[start:end].index("either"), end))
        return frozenset(found)

    def shown(self) -> frozenset[int]:
        """Units of all lists in which parts are only shown."""
        found: set[int] = set()
        for number, (start, end) in enumerate(zip(self._starts, self._ends, strict=True)):
            for at in range(start, end):
                if (hit := self._cue("shown_list", at)) and self._closes(hit[0]):
                    found.update(self._from(hit[0], number))
                elif hit := self._cue("bought_list", at):
                    found.update(self._in_sentence(hit[0], number))
                elif self._cue("listed_behind", at):
                    found.update(self._back_from(number))
            found.update(self._bare_list(number))
            if self._came_back(number):
                found.update(range(end, self._ends[number + 1]))
        return frozenset(found)

    def _from(self, at: int, number: int) -> range:
        """From what opens the list to the sentence in which work begins."""
        empty = 0
        for later in range(number + 1, len(self._starts)):
            start = self._starts[later]
            empty = 0 if self._parts(later) else empty + 1
            if self._works[later] or self._turns(start) or empty > 2 or start - at > _LONGEST:
                return range(at, start)
        return range(at, len(self._scan.text))

    def _in_sentence(self, at: int, number: int) -> range:
        """ "I've bought a layshaft, four needle rollers and a gasket": to the end of the sentence, and of what goes on
        with "and a"."""
        if self._works[number] or len(self._parts(number, at)) < _FEWEST:
            return range(0)
        last = number
        while last + 1 < len(self._starts) and not self._works[last + 1]:
            start = self._starts[last + 1]
            if self._scan.text[start] not in _GOES_ON or not self._parts(last + 1):
                break
            last += 1
        return range(at, self._ends[last])

    def _back_from(self, number: int) -> range:
        """ "New needle, new gasket, a new O ring. I've got those here": what stands before was a list."""
        first = number
        while first and not self._works[first - 1] and not self._works[number] and self._is_item(first - 1):
            if self._ends[number] - self._starts[first - 1] > _LONGEST:
                break
            first -= 1
        return range(self._starts[first], self._ends[number])

    def _bare_list(self, number: int) -> range:
        """Before any work a sentence of parts alone can only tell what is there or wanted."""
        start, end = self._starts[number], self._ends[number]
        if number >= self._done_before or len(self._parts(number)) < _FEWEST:
            return range(0)
        ordered = any(self._cue("order", at) or self._cue("first", at) for at in range(start, end))
        be = self._rules.words["be"] | self._rules.words["have"]
        told = any(word in be or word in ("i", "we", "you") for word in self._scan.text[start:end])
        return range(0) if ordered or told else range(start, end)

    def _came_back(self, number: int) -> bool:
        """ "Barrel's back. New piston, new rings, new pin": what came back with it is not in yet."""
        start, end = self._starts[number], self._ends[number]
        part = next((part for part in self._parts(number) if tuple(self._scan.text[part.end : end]) in _IS_BACK), None)
        if part is None or number + 1 >= len(self._starts) or self._works[number + 1]:
            return False
        return self._is_item(number + 1) and len(self._parts(number + 1)) >= _FEWEST and part.start - start < _FEWEST

    def _parts(self, number: int, start: int = 0) -> list[Phrase]:
        phrases = self._scan.phrases_in(max(start, self._starts[number]), self._ends[number])
        return [phrase for phrase in phrases if phrase.is_part and not phrase.weak]

    def _is_item(self, number: int) -> bool:
        """ "New main bearings, they're sealed ones": the sentence opens with a part, new or one of several."""
        at = self._starts[number]
        at += self._scan.text[at] in _GOES_ON
        part = self._scan.starting.get(at)
        if part is None or not part.is_part or not (part.kind or part.condition):
            return False
        return part.determiner in ("", "a", "an", "some")

    def _turns(self, start: int) -> bool:
        at = start + (self._scan.text[start] in ("so", "and", "well"))
        return self._scan.text[at : at + 1] != [] and self._scan.text[at] in _TURNS

    def _cue(self, name: str, at: int) -> tuple[int, bool] | None:
        return self._rules.cues[name].at(self._scan.text, at)

    def _closes(self, at: int) -> bool:
        return at >= len(self._scan.text) or self._scan.gap[at] > 0

    def _number(self, at: int) -> int:
        return bisect_right(self._starts, at) - 1


def is_placed(phrase: Phrase, scan: Scan) -> bool:
    """ "cover on", "pilot jet in": a part is where it belongs."""
    end = phrase.end
    if end >= len(scan.text) or scan.gap[end] or scan.text[end] not in PARTICLES:
        return False
    return end + 1 >= len(scan.text) or scan.gap[end + 1] > 0
