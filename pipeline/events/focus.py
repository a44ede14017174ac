"""What "it", "those" and "the new one" point at: the parts last talked about."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass, replace

from pipeline.correct.language import english
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.reading import SENTENCE
from pipeline.events.rules import Rules

Weigh = Callable[[int, list[str], list[float], list[list[str]]], int]
"""Of a pronoun's unit and the names, costs in words and features of what it may mean: the index of the best."""

REACH = 150
_MOST = 14
_ASIDE, _OTHER_NUMBER, _OTHER_WORK, _UNKNOWN, _FEATURE, _NO_FASTENER = 24, 60, 80, 6, 24, 15
_IN_GENERAL = tuple((word, who) for word in ("that", "which") for who in ("you", "they", "people", "some"))
_STEPS = (2, 4, 6, 9, 13, 18, 25, 35, 50, 75, 110)


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

    def __init__(self, rules: Rules, scan: Scan, predicates: list[Predicate], weigh: Weigh) -> None:
        self._rules, self._scan, self._weigh = rules, scan, weigh
        self._english = english()
        self._breaks = [at for at, gap in enumerate(scan.gap) if gap >= SENTENCE]
        self._subjects = {predicate.subject.start for predicate in predicates if predicate.subject is not None}
        self._talks: list[_Talk] = []
        self._waiting = [
            phrase for phrase in scan.phrases
            if (phrase.is_part and not phrase.weak and phrase.determiner != "no" and not self._is_stuff(phrase))
            or (phrase.head == "one" and (phrase.condition or scan.text[phrase.end - 1] in ("one", "ones")))
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
            aside = governed or phrase.weak or purpose or phrase.kind == "fluid" or self._only_said_of(phrase)
            self._talks.append(_Talk(phrase.start, (phrase,), aside))
            listed = [] if aside else self._listed_to(phrase)
            if len(listed) > 1:
                self._talks.append(_Talk(phrase.start, tuple(listed), False))
            self._place += 1

    def _listed_to(self, last: Phrase) -> list[Phrase]:
        """ "there's the float, the needle and the jet": the parts of a list that ends here, for "those" to point at."""
        scan, listed, end = self._scan, [last], last.start
        while (before := scan.ending.get(end - (scan.text[end - 1] == "and"))) is not None and before.is_part:
            if len(listed) == 1 and scan.text[end - 1] != "and":
                break
            listed.insert(0, before)
            end = before.start
        return listed

    def _only_said_of(self, phrase: Phrase) -> bool:
        """ "there's a sleeve that you're meant to use": told of in general, not worked with."""
        return tuple(self._scan.text[phrase.end : phrase.end + 2]) in _IN_GENERAL and phrase.determiner in ("a", "an")

    def touch(self, at: int, parts: list[Phrase], action: str = "") -> None:
        """These parts are being worked on at unit `at`."""
        if parts and parts[0].kind != "tool" and parts[0].head not in self._rules.words["gauges"]:
            self._talks.append(_Talk(at, tuple(parts), False, action))

    def resolve(self, pronoun: Phrase, action: str = "") -> list[Phrase]:
        """The parts a pronoun stands for; an empty list where nothing was talked about lately."""
        self.pass_over(pronoun.start)
        talks = self._candidates(pronoun)
        if pronoun.head == "it":  # "two springs" are never "it" where something else can be
            talks = [talk for talk in talks if (talk.parts[0].count or 1) == 1] or talks
        if not talks:
            return []
        evidence = [self._evidence(rank, talk, pronoun, action) for rank, talk in enumerate(talks)]
        costs = [self._cost(talk, pronoun, action) for talk in talks]
        best = next((rank for rank, talk in enumerate(talks) if self._object_before(talk, pronoun)), -1)
        if best < 0:
            best = self._weigh(pronoun.start, [talk.parts[0].name for talk in talks], costs, evidence)
            best = self._one_of_pair(talks, costs, pronoun, best)
        found = list(talks[best].parts)
        if pronoun.plural and len(found) == 1 and not found[0].plural:
            found = [replace(found[0], side="", position="")]
        own = {name: value for name in ("side", "position", "condition", "finish") if (value := getattr(pronoun, name))}
        old = not _OLD.isdisjoint(self._scan.text[pronoun.start : pronoun.end])  # "the old ones" are not the new ones
        if pronoun.determiner in ("another", "other") or "condition" in own or old:
            found = [replace(part, condition="", finish="", count=None) for part in found]
        if pronoun.side or pronoun.position or self._scan.text[pronoun.end - 1] in ("other", "one"):
            found = [replace(part, count=None) for part in found]
        if pronoun.count and len({part.name for part in found}) == 1:  # "line and filter: both" are one each
            return [replace(part, count=pronoun.count, **own) for part in found]
        return [replace(part, **own) for part in found]

    def _one_of_pair(self, talks: list[_Talk], costs: list[float], pronoun: Phrase, best: int) -> int:
        """ "both shoes on the axle, the right one": one of what there are several of, or that has another side."""
        if pronoun.head != "one" or pronoun.plural or not (pronoun.side or pronoun.position):
            return best
        pairs = [
            rank for rank, talk in enumerate(talks)
            if (part := talk.parts[0]).plural or len(talk.parts) > 1 or (part.pair == "sides" and pronoun.side)
            or (part.side if pronoun.side else part.position) or self._told_twice(talk)
        ]  # fmt: skip
        return best if best in pairs or not pairs else min(pairs, key=lambda rank: costs[rank])

    def _object_before(self, talk: _Talk, pronoun: Phrase) -> bool:
        """ "cleaned the plate and painted it": of two verbs with one subject, the object of the first."""
        part, scan = talk.parts[0], self._scan
        if len(talk.parts) > 1 or pronoun.head != "it" or scan.text[part.end : pronoun.start - 1] not in _JOINTS:
            return False
        return any(end == part.start for end, _ in (scan.verbs.get(part.start - back, (0, ())) for back in (1, 2)))

    def _told_twice(self, talk: _Talk) -> bool:
        """ "left cup in, right cup in, both torqued": two of one name."""
        name, sides = talk.parts[0].name, {talk.parts[0].side + talk.parts[0].position}
        for other in reversed(self._talks):
            if other.at <= talk.at - 20:
                break
            if other.at <= talk.at and other.parts[0].name == name:
                sides.add(other.parts[0].side + other.parts[0].position)
        return len(sides) > 1

    def _candidates(self, pronoun: Phrase) -> list[_Talk]:
        """What was talked about before the pronoun, the latest first, each part once."""
        found: dict[tuple[str, int], _Talk] = {}
        for talk in reversed(self._talks):
            if pronoun.start - talk.at > REACH or len(found) >= _MOST:
                break
            if talk.at >= pronoun.start:
                continue
            key = talk.parts[0].name, len(talk.parts)
            known = found.get(key)
            if known is None:
                found[key] = talk
            elif known.aside and not talk.aside and known.at - talk.at < 40:
                found[key] = _Talk(known.at, known.parts, False, talk.action)
        return list(found.values())

    def _times(self, name: str, at: int) -> int:
        """How often a part was talked about lately."""
        times = 0
        for talk in reversed(self._talks):
            if at - talk.at > REACH:
                break
            times += talk.parts[0].name == name
        return times

    def _evidence(self, rank: int, talk: _Talk, pronoun: Phrase, action: str) -> list[str]:
        """Names of features; their weights are in `pipeline/data/event_weights.json` under "referent"."""
        part, scan = talk.parts[0], self._scan
        distance = bisect_left(_STEPS, pronoun.start - talk.at)
        sentences = bisect_left(self._breaks, pronoun.start + 1) - bisect_left(self._breaks, talk.at + 1)
        kind = part.kind or "unknown"
        many = len(talk.parts) > 1 or part.plural or (pronoun.plural and self._told_twice(talk))
        if pronoun.head in ("one", "another"):
            many = pronoun.plural
        own = pronoun.head in OWN
        names = self._times(part.name, pronoun.start)
        before = scan.text[part.start - 1] if part.start else ""
        after = scan.text[part.end] if part.end < len(scan.text) else ""
        worked = "worked" if talk.action else "aside" if talk.aside else "named"
        subject = part.start in self._subjects and talk.at == part.start
        start = self._breaks[max(0, bisect_left(self._breaks, part.start + 1) - 1)] if self._breaks else 0
        lead = scan.text[max(start, part.start - 7) : part.start]
        hangs = next((word for word in reversed(lead) if word in _HANGING), "-")
        once = names == 1 and not talk.action
        found = [
            f"rank={min(rank, 4)}",
            f"distance={distance // 2}",
            f"sentences={min(sentences, 3)}",
            f"{worked}",
            f"kind={kind}",
            f"number={many}|{pronoun.plural}|{own}",
            f"weak={part.weak}|{kind}",
            f"names={min(names, 4)}",
            f"subject={subject}|{min(sentences, 2)}",
            f"before={before if before in self._rules.words['prepositions'] else '-'}",
            f"after={after if after in _STANDS else '-'}",
            f"determiner={part.determiner}",
            f"condition={part.condition}",
            f"same={talk.action == action}",
            f"list={len(talk.parts) > 1}|{pronoun.plural}",
            f"fluid={part.kind == 'fluid'}|{action in _FLUID_WORK}|{talk.action in _FLUID_WORK}",
            f"feature={part.head in self._rules.words['features']}",
            f"vessel={action in _OF_VESSELS}|{part.head in _NO_VESSELS or kind == 'fastener'}",
            f"fastening={action in _FASTENING}|{kind == 'fastener' and part.head != 'washer'}",
            f"hangs={hangs}",
            f"hangs={hangs != '-'}|{worked}",
            f"once={once}|{kind}",
            f"once={once}|{part.determiner}",
            f"once={once}|{worked}|{kind == 'unknown'}",
            f"{pronoun.head}|{subject}",
            f"opens={part.start == 0 or scan.gap[part.start] >= SENTENCE}",
        ]
        if not part.kind:
            found.append(f"common={self._english.frequency(part.head) // 8}")
            common, long = self._english.frequency(part.head) // 10, " " in part.name
            found.append(f"common={common}|{part.determiner != ''}|{long}")
        return found

    def _cost(self, talk: _Talk, pronoun: Phrase, action: str) -> float:
        if talk.at >= pronoun.start:
            return REACH * 2
        cost = float(pronoun.start - talk.at) + (_ASIDE if talk.aside else 0)
        cost += 0 if talk.parts[0].kind or talk.action else _UNKNOWN
        many = len(talk.parts) > 1 or talk.parts[0].plural or (pronoun.plural and self._told_twice(talk))
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
_OLD = frozenset(("old", "original", "originals"))
_HANGING = frozenset(
    ("because", "where", "if", "when", "to", "that", "which", "who", "so", "until", "till", "before", "after", "while",
     "as", "by", "with", "than", "like", "for")
)  # fmt: skip
# "cleaned the plate and painted it"
_JOINTS = (["and"], ["and", "then"], ["and", "i"], ["and", "we"], ["and", "i've"], ["and", "just"])
_STANDS = frozenset(
    ("is", "was", "'s", "are", "were", "has", "had", "have", "and", "with", "on", "in", "for", "of", "to", "that")
)
OWN = frozenset(("mine", "yours", "ours", "hers"))
_FASTENING = frozenset(("tighten", "torque", "slacken"))
_OF_VESSELS = frozenset(("fill", "drain", "top_up", "bleed", "test"))
_NO_VESSELS = frozenset(
    ("seal", "gasket", "ring", "bearing", "bush", "shim", "spring", "key", "pin", "o-ring", "impeller")
)
_FLUID_WORK = frozenset(("fill", "drain", "top_up"))
