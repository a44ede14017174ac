"""What "it", "those" and "the new one" point at: the parts last talked about."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.rules import Rules

REACH = 150
# Costs in words: how much nearer a part must be to win although it was only a place, an aside, or of the wrong number.
_ASIDE, _OTHER_NUMBER, _OTHER_WORK, _UNKNOWN, _FEATURE, _NO_FASTENER = 24, 60, 80, 6, 24, 15


@dataclass(frozen=True, slots=True)
class _Talk:
    at: int
    parts: tuple[Phrase, ...]
    aside: bool
    action: str = ""


class Focus:
    """Parts in the order they were talked about; the nearest fitting one is what a pronoun means.

    A part named as a place ("on the shaft"), or only to say what something is for ("to hold the shaft"), is an
    aside and weighs less.
    """

    def __init__(self, rules: Rules, scan: Scan, predicates: list[Predicate]) -> None:
        self._rules, self._scan = rules, scan
        self._talks: list[_Talk] = []
        self._waiting = [
            phrase for phrase in scan.phrases
            if (phrase.is_part and not phrase.weak and phrase.determiner != "no" and not self._is_stuff(phrase))
            or (phrase.head == "one" and phrase.condition)
        ]  # fmt: skip
        self._place = 0
        self._asides = {predicate.end for predicate in predicates if self._is_purpose(predicate)}
        self._told = rules.of_the_old
        self._governed: Phrase | None = None

    def _is_stuff(self, phrase: Phrase) -> bool:
        """Fluids, pastes and tools are what work is done with."""
        if phrase.kind in ("tool", "measure", "finish", "material"):
            return True
        if not phrase.kind and phrase.head.endswith("ing") and phrase.determiner not in ("the", "this", "that", "my"):
            return True
        words = phrase.name.split()
        return bool(phrase.measure) and self._rules.substance_on.at(words, max(0, len(words) - 1)) is not None

    def _is_purpose(self, predicate: Predicate) -> bool:
        if predicate.action:
            return False
        thing = predicate.subject is not None and predicate.subject.is_part
        return predicate.lemma not in ("be", "see", "look", "get") and (thing or predicate.lemma not in ("have",))

    def pass_over(self, until: int) -> None:
        """Takes in every named part that starts before unit `until`."""
        prepositions = self._rules.words["prepositions"]
        while self._place < len(self._waiting) and self._waiting[self._place].start < until:
            phrase = self._waiting[self._place]
            if phrase.is_pronoun:
                self._place += 1
                self.touch(phrase.start, self.resolve(phrase))
                continue
            before = self._scan.text[phrase.start - 1] if phrase.start else ""
            governed = (
                before in prepositions and before not in ("so", "then", "like") and not self._scan.gap[phrase.start]
            )
            if before in ("to", "for") and self._scan.text[phrase.start - 2] in _TURNS_TO and phrase.start > 1:
                governed = False
            earlier = self._scan.ending.get(phrase.start - 1) if before == "and" else None
            if earlier is not None and earlier == self._governed:
                governed = True
            self._governed = phrase if governed else None
            purpose = phrase.start in self._asides and phrase.condition not in self._told
            aside = governed or phrase.weak or purpose or phrase.kind == "fluid"
            self._talks.append(_Talk(phrase.start, (phrase,), aside))
            self._place += 1

    def touch(self, at: int, parts: list[Phrase], action: str = "") -> None:
        """These parts are being worked on at unit `at`."""
        if parts and parts[0].kind != "tool" and parts[0].head not in self._rules.words["gauges"]:
            self._talks.append(_Talk(at, tuple(parts), False, action))

    def resolve(self, pronoun: Phrase, action: str = "") -> list[Phrase]:
        """The parts a pronoun stands for; an empty list where nothing was talked about lately."""
        self.pass_over(pronoun.start)
        best: _Talk | None = None
        least = float(REACH)
        for place in range(len(self._talks) - 1, -1, -1):
            talk = self._talks[place]
            if pronoun.start - talk.at > REACH:
                break
            cost = self._cost(place, pronoun, action)
            if cost < least or (best is None and cost <= least):
                best, least = talk, cost
        found = list(best.parts) if best else []
        if pronoun.plural and len(found) == 1 and not found[0].plural:
            found = [replace(found[0], side="", position="")]
        own = {name: value for name in ("side", "position", "condition", "finish") if (value := getattr(pronoun, name))}
        if pronoun.determiner in ("another", "other") or "condition" in own:
            found = [replace(part, condition="", finish="", count=None) for part in found]
        if pronoun.side or pronoun.position or self._scan.text[pronoun.end - 1] in ("other", "one"):
            found = [replace(part, count=None) for part in found]
        if pronoun.count:
            return [replace(part, count=pronoun.count, **own) for part in found]
        return [replace(part, **own) for part in found]

    def _told_twice(self, place: int) -> bool:
        """ "left cup in, right cup in, both torqued": two of one name."""
        talk = self._talks[place]
        name, sides = talk.parts[0].name, {talk.parts[0].side + talk.parts[0].position}
        for other in reversed(self._talks[:place]):
            if other.at <= talk.at - 20:
                break
            if other.parts[0].name == name:
                sides.add(other.parts[0].side + other.parts[0].position)
        return len(sides) > 1

    def _cost(self, place: int, pronoun: Phrase, action: str) -> float:
        talk = self._talks[place]
        if talk.at >= pronoun.start:
            return REACH * 2
        cost = float(pronoun.start - talk.at) + (_ASIDE if talk.aside else 0)
        cost += 0 if talk.parts[0].kind or talk.action else _UNKNOWN
        many = len(talk.parts) > 1 or talk.parts[0].plural or (pronoun.plural and self._told_twice(place))
        if pronoun.head in ("one", "another"):
            many = pronoun.plural
        if many != pronoun.plural and pronoun.head not in OWN:
            cost += _OTHER_NUMBER
        if talk.parts[0].head in self._rules.words["features"]:
            cost += _FEATURE
        if action in _FASTENING and (talk.parts[0].kind != "fastener" or talk.parts[0].head == "washer"):
            cost += _NO_FASTENER
        if action in _OF_VESSELS and (talk.parts[0].kind == "fastener" or talk.parts[0].head in _NO_VESSELS):
            cost += _OTHER_WORK
        fluid = talk.parts[0].kind == "fluid"
        if action in _FLUID_WORK and talk.action not in _FLUID_WORK and not fluid:
            cost += _OTHER_WORK
        if fluid and action and action not in _FLUID_WORK | {"renew", "inspect", "clean"}:
            cost += _OTHER_WORK
        return cost


# "back to the union", "now for the head": what is talked about from here on.
_TURNS_TO = frozenset(("back", "on", "over", "round", "move", "moving", "now", "come", "get", "onwards"))
OWN = frozenset(("mine", "yours", "ours", "hers"))
_FASTENING = frozenset(("tighten", "torque", "slacken"))
_OF_VESSELS = frozenset(("fill", "drain", "top_up", "bleed", "test"))
_NO_VESSELS = frozenset(
    ("seal", "gasket", "ring", "bearing", "bush", "shim", "spring", "key", "pin", "o-ring", "impeller")
)
_FLUID_WORK = frozenset(("fill", "drain", "top_up"))
