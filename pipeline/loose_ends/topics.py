"""Which part a remark is about: the part named beside it, or the one that "it", "those" and "the other one" mean."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from pipeline.events.phrase import Phrase
from pipeline.loose_ends.sentences import Sentences
from pipeline.records import Event, PartMention

REACH = 150
# Costs in words, as for the pronouns of events: how much nearer such a part must be to win.
_ASIDE, _OTHER_NUMBER, _UNKNOWN, _NOT_PAIRED = 24, 60, 6, 60
_BECAUSE = frozenset(("because", "cause", "cos"))
_STUFF = frozenset(("tool", "measure", "finish", "material"))
_SEVERAL = 3
_HYDRAULIC = frozenset(("brake", "brakes", "clutch", "caliper", "hydraulic", "hydraulics"))
_NO_TOPIC = frozenset(("workshop", "bench", "garage", "shed", "floor", "ground"))
_POINTING = frozenset(("both", "it", "that", "those", "these", "they", "them", "this", "which"))
_MANY = frozenset(("both", "those", "these", "they", "them", "ones"))


@dataclass(frozen=True, slots=True)
class Topic:
    """A part that was talked about at a unit. `event` is what was done to it there, if anything."""

    at: int
    name: str
    plural: bool | None
    side: str = ""
    position: str = ""
    event: Event | None = None
    kind: str = ""
    aside: bool = False


class Topics:
    """The parts of one recording in order of time."""

    def __init__(
        self,
        events: Sequence[Event],
        mentions: Sequence[PartMention],
        sentences: Sentences,
        is_paired: Callable[[str], bool],
    ) -> None:
        self._sentences, self.is_paired = sentences, is_paired
        self._text = sentences.scan.text
        talks = [self.of_phrase(phrase) for phrase in sentences.scan.phrases if self.is_topic(phrase)]
        for event in events:
            start, end = sentences.units(event)
            named = next((talk for talk in talks if talk.name == event.part and start <= talk.at < end), None)
            plural = named.plural if named else (event.count or 0) > 1 or None
            at, aside = (named.at, named.aside) if named else (start, False)
            talks.append(Topic(at, event.part, plural, event.side, event.position, event, "part", aside))
        self._talks = sorted(talks, key=lambda talk: talk.at)

    def of_phrase(self, phrase: Phrase) -> Topic:
        """A named part as a topic."""
        return Topic(
            phrase.start, phrase.name, phrase.plural, phrase.side, phrase.position, None, phrase.kind,
            self._is_governed(phrase),
        )  # fmt: skip

    def is_topic(self, phrase: Phrase) -> bool:
        """True for a named part; tools, materials and places are what work is done with."""
        return (
            phrase.is_part and not phrase.weak and not self.is_makeshift(phrase.name)
            and phrase.kind not in _STUFF and phrase.head not in _NO_TOPIC and not (phrase.measure and not phrase.kind)
        )  # fmt: skip

    def is_makeshift(self, name: str) -> bool:
        """ "a wrap of tape", "a bit of string"."""
        return self._sentences.rules.cues["makeshift"].at(name.split()[-1:], 0) is not None

    def is_vessel(self, name: str) -> bool:
        """True for what holds a fluid."""
        return self._sentences.rules.cues["vessel"].at(name.split()[-1:], 0) is not None

    def vessel(self, at: int) -> Topic | None:
        """What was last talked about that holds a fluid."""
        vessels = [
            talk for talk in self._talks
            if at - REACH < talk.at < at and self.is_vessel(talk.name)
        ]  # fmt: skip
        return vessels[-1] if vessels else None

    def hydraulic(self, at: int) -> Topic | None:
        """The brake or clutch that was last talked about."""
        found = [talk for talk in self._talks if at - REACH < talk.at < at and _HYDRAULIC & set(talk.name.split())]
        whole = [talk for talk in found if talk.name.split()[-1] in _HYDRAULIC]
        if whole or not found:
            return whole[-1] if whole else None
        name = next(word for word in found[-1].name.split() if word in _HYDRAULIC)
        return replace(found[-1], name=name, event=None)

    def whole(self, at: int, side: str) -> Topic | None:
        """What several parts done on one side belong to, where it was named before them."""
        done = [talk for talk in self._talks if talk.event and at - 2 * REACH < talk.at < at and talk.side == side]
        if len({talk.name for talk in done}) < _SEVERAL:
            return None
        named = [
            talk for talk in self._talks
            if talk.at < done[0].at and self._sentences.rules.cues["whole"].at(talk.name.split()[-1:], 0)
        ]  # fmt: skip
        return named[-1] if named else None

    def fastener_before(self, at: int) -> Topic | None:
        """The fastener named right before a unit: "with the bolts | finger tight"."""
        for end in (at, at - 1, at - 2):
            phrase = self._sentences.scan.ending.get(end)
            if phrase is not None and self.is_topic(phrase):
                fastener = phrase.head in self._sentences.rules.words["safety_heads"]
                return self.of_phrase(phrase) if fastener else None
        return None

    def _is_governed(self, phrase: Phrase) -> bool:
        """ "on the shaft", "with a new bolt", "no gasket"."""
        if phrase.determiner == "no" or self._is_reason(phrase):
            return True
        if not phrase.start or self._sentences.scan.gap[phrase.start]:
            return False
        before = self._text[phrase.start - 1]
        return before in self._sentences.rules.words["prepositions"] and before not in ("so", "then", "like")

    def _is_reason(self, phrase: Phrase) -> bool:
        """ "hand tight because you want the pinch bolt to hold it": told in passing."""
        start, _ = self._sentences.bounds(phrase.start)
        return any(word in _BECAUSE for word in self._text[start + 1 : phrase.start])

    def event_at(self, phrase: Phrase) -> Event | None:
        """What was done to a named part, or is to be done, where it was named."""
        return next((talk.event for talk in self._talks if talk.at == phrase.start and talk.event), None)

    def all(self) -> Iterator[Topic]:
        """Every topic in order of the words."""
        return iter(self._talks)

    def before(self, at: int, plural: bool | None = None, paired: bool = False) -> Topic | None:
        """The part most likely meant at a unit by a pointing word, or by nothing at all."""
        best, least = None, float(REACH)
        for talk in self._talks:
            if talk.at >= at:
                break
            if talk.kind == "fluid":
                continue
            cost = float(at - talk.at) + (_ASIDE if talk.aside else 0)
            cost += _UNKNOWN if not talk.kind else 0
            if plural is not None and talk.plural is not None and talk.plural != plural:
                cost += _OTHER_NUMBER
            if paired and not self.is_paired(talk.name):
                cost += _NOT_PAIRED
            if cost <= least:
                best, least = talk, cost
        return best

    def meant_by(self, phrase: Phrase) -> Topic | None:
        """The part of a phrase: its own name, or what the pointing word stands for."""
        if self.is_topic(phrase):
            return self.of_phrase(phrase)
        if not phrase.is_pronoun:
            return None
        done = next((talk for talk in self._talks if talk.at == phrase.start and talk.event), None)
        plural = None if phrase.head in ("one", "another") else phrase.plural or phrase.head in _MANY
        return done or self.before(phrase.start, plural)

    def subject(self, at: int, reach: int = 24) -> Topic | None:
        """What a remark at a unit is about: the nearest part or pointing word before it, else the topic before."""
        start, _ = self._sentences.bounds(at)
        aside: Topic | None = None
        index = at
        while index > max(start, at - reach):
            phrase = self._sentences.scan.ending.get(index)
            told = phrase is not None and phrase.is_part and phrase.determiner in ("the", "this", "that", "my")
            if phrase is not None and (self.is_topic(phrase) or (told and phrase.weak and not phrase.kind)):
                if not self._is_governed(phrase):
                    return self.of_phrase(phrase)
                aside = aside or self.of_phrase(phrase)
            elif phrase is not None and phrase.is_pronoun:
                return self.meant_by(phrase) or aside
            elif self._text[index - 1] in _POINTING:
                return self.before(index - 1, self._text[index - 1] in _MANY) or aside
            index = phrase.start if phrase is not None else index - 1
        return aside or self.before(at)

    def object_of(self, end: int) -> Topic | None:
        """The part named right after a cue: "just nipped | the bolts"."""
        if end >= len(self._text) or self._sentences.scan.gap[end]:
            return None
        phrase = self._sentences.scan.starting.get(end)
        if phrase is not None and phrase.is_part and phrase.kind == "measure":
            return self.of_phrase(phrase)
        return self.meant_by(phrase) if phrase is not None else None
