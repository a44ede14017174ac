"""The words around an action: tool, fluid, fastening, reason, where it applies, side and position."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.place_words import is_excepted
from pipeline.events.reading import PAUSE, SENTENCE
from pipeline.events.rules import PhraseTable, Rules
from pipeline.records import Token
from pipeline.tokens import bare

_LONGEST_REASON = 22
# What is only compared: "the same way round as they came off", so many words before.
_COMPARED, _COMPARED_WITHIN = frozenset(("same", "exactly")), 4
# A reason ends at a comma behind which somebody begins anew.
_NEW_SUBJECTS = frozenset(("i", "we", "you", "he", "she", "they", "it", "that", "this", "there", "and", "then"))
_MARKS = " .,;:?!"
_SIDE_HOLDS = 90
# Before a place where something is; "from" and "to" tell a way.
_AT = frozenset(("on", "at", "in", "for"))
_OPENS_SIDE = frozenset(("here", "here's", "this", "now", "start", "starting", "over", "moving", "onto"))


@dataclass(frozen=True, slots=True)
class Details:
    """What the clause adds to an event; "" where it is not said."""

    side: str = ""
    position: str = ""
    tool: str = ""
    fluid: str = ""
    container: Phrase | None = None
    condition: str = ""
    fastening: str = ""
    reason: str = ""
    applicability: str = ""


class DetailReader:
    """Reads details out of a stretch of units."""

    def __init__(self, rules: Rules, scan: Scan, tokens: Sequence[Token]) -> None:
        self._rules, self._scan, self._tokens = rules, scan, tokens
        self._breaks = [gap > 0 for gap in scan.gap]

    def placed(self, part: Phrase) -> Phrase:
        """The part with the place said right after it: "its thrust washer on the left hand side"."""
        place = self._scan.starting.get(part.end + 1)
        if place is None or place.is_part or self._scan.text[part.end] not in ("on", "at"):
            return part
        return replace(part, side=part.side or place.side, position=part.position or place.position)

    def side_in_force(self, at: int) -> str:
        """ "So here's the right side.": holds for what follows, until another side or another topic is opened."""
        text = self._scan.text
        for phrase in reversed(self._scan.phrases_in(at - _SIDE_HOLDS, at)):
            lead = text[max(0, phrase.start - 3) : phrase.start]
            if phrase.is_part or not any(word in _OPENS_SIDE for word in lead):
                continue
            between = text[phrase.end : at]
            if any(word in ("okay", "ok", "alright", "both") for word in between):
                return ""
            if phrase.side:
                return phrase.side
        return ""

    def sentence_place(self, at: int) -> tuple[str, str]:
        """ "On the driver's side I unclipped the hose, unplugged the sensor and ...": holds for the whole sentence."""
        start = at
        while start and self._scan.gap[start] < SENTENCE and at - start < 40:
            start -= 1
        text = self._scan.text
        for first in range(start, min(start + 3, at)):
            if text[first] not in ("on", "at"):
                continue
            phrase = self._scan.starting.get(first + 1)
            if phrase is not None and not phrase.is_part and phrase.end <= at:
                return phrase.side, phrase.position
        return "", ""

    def read(self, start: int, verb: int, end: int, objects: list[Phrase]) -> Details:
        """Details of the clause `start`..`end` whose verb stands at `verb`."""
        side, position = self._place(start, end, objects)
        tool = fluid = condition = ""
        container: Phrase | None = None
        text = self._scan.text
        for phrase in self._scan.phrases_in(verb, end):
            if phrase in objects or phrase.start == 0:
                continue
            before = text[phrase.start - 1]
            if before in ("with", "using", "by", "for"):
                if before == "for" and not (phrase.is_pronoun and phrase.condition):
                    continue
                if phrase.is_pronoun and phrase.condition:
                    condition = condition or phrase.condition
                elif phrase.kind == "fluid" or self._is_fluid(phrase):
                    fluid = fluid or phrase.name
                elif self.is_tool(phrase) and not self._is_fitted_too(phrase):
                    tool = tool or self._without_article(phrase)
                elif before == "with" and phrase.condition and phrase.is_part:
                    condition = condition or (phrase.condition if _same_head(phrase, objects) else "")
            elif (before in ("from", "into", "in", "of", "inside") and phrase.is_part) or (
                before == "to" and phrase.kind == "part"
            ):
                container = container or phrase
        return Details(
            side, position, tool, fluid, container, condition,
            self._fastening(start, min(end + 2, self._sentence_end(start))), self._reason(verb, end),
            self._until_break(self._rules.cues["applicability"], verb, self._sentence_end(end), 8),
        )  # fmt: skip

    def _place(self, start: int, end: int, objects: list[Phrase]) -> tuple[str, str]:
        """ "on the left", "at the front": a place that no part is named with. The one behind a part counts before one
        in front of the verb; one right behind another part is that part's."""
        text, breaks = self._scan.text, self._breaks
        heads = {part.end for part in objects}
        behind, before = ("", ""), ("", "")
        for phrase in self._scan.phrases_in(start, end):
            if phrase in objects or phrase.start == 0 or phrase.is_part:
                continue
            if text[phrase.start - 1] not in _AT or is_excepted(text, breaks, phrase.start):
                continue
            other = self._scan.ending.get(phrase.start - 1)
            if other is not None and other.is_part and other not in objects and objects and other.kind != "tool":
                continue
            if heads and phrase.start > min(heads):
                behind = behind[0] or phrase.side, behind[1] or phrase.position
            else:
                before = before[0] or phrase.side, before[1] or phrase.position
        side, position = behind[0] or before[0], behind[1] or before[1]
        if not side:
            for at in range(start, end - 1):
                hit = self._rules.side.at(text, at + 1)
                if text[at] == "on" and hit and text[hit[0] - 1] == "side":
                    side = hit[1]
                if text[at : at + 2] == ["both", "sides"]:
                    side = "both"
        return side, position

    def _is_fluid(self, phrase: Phrase) -> bool:
        words = phrase.name.split()
        tables = (self._rules.substance_on, self._rules.substance_in)
        return any(table.at(words, len(words) - 1) for table in tables) if words else False

    def is_tool(self, phrase: Phrase) -> bool:
        """True for what work is done with: a tool of the vocabulary, or a name that ends like one."""
        if phrase.kind == "tool":
            return True
        if phrase.condition == "new":
            return False
        words = phrase.name.split() or [phrase.head]
        return any(
            (hit := self._rules.tool_heads.at(words, at)) is not None and hit[0] == len(words)
            for at in range(len(words))
        )

    def _is_fitted_too(self, phrase: Phrase) -> bool:
        """ "with its baulk ring", "with the retaining ring": parts that are named like tools."""
        return phrase.kind in ("part", "fastener") or phrase.determiner in ("its", "their")

    def is_paste(self, phrase: Phrase) -> bool:
        """True for grease, sealant and the like, which are applied, not fitted."""
        words = phrase.name.split()
        return phrase.kind != "fluid" and any(
            (hit := self._rules.substance_on.at(words, at)) is not None and hit[0] == len(words)
            for at in range(len(words))
        )

    def measures(self, tool: str) -> bool:
        """True for a tool that reads a figure."""
        return any(word in self._rules.words["gauges"] for word in tool.split())

    def _without_article(self, phrase: Phrase) -> str:
        words = self._scan.text[phrase.start : phrase.end]
        while words and words[0] in self._rules.words["determiners"] | self._rules.words["possessives"] | {
            "that",
            "this",
        }:
            words = words[1:]
        return " ".join(words)

    def _fastening(self, start: int, end: int) -> str:
        """ "held by two M6 bolts" -> "two m6 bolts"."""
        text = self._scan.text
        for at in range(start, end):
            hit = self._rules.fastening_cues.at(text, at)
            if not hit:
                continue
            phrase = self._scan.starting.get(hit[0])
            if phrase and (phrase.kind == "fastener" or phrase.head in self._rules.fastening_heads):
                return self._without_article(phrase)
        return ""

    def _reason(self, verb: int, end: int) -> str:
        sentence = self._sentence_end(verb)
        text = self._scan.text
        for at in range(verb + 1, min(sentence, end + 3)):
            hit = self._rules.cues["reason"].at(text, at)
            if hit and hit[0] < sentence and text[at - 1] not in ("just", "ever") and text[hit[0]] not in ("'s", "is"):
                if self._of_another(verb, at) or self._compares(at):
                    return ""
                stop = at + 1
                while stop < sentence and stop - at < _LONGEST_REASON and text[stop] not in ("so", "but", "anyway"):
                    if self._scan.gap[stop] and text[stop] in _NEW_SUBJECTS and stop > hit[0] + 1:
                        break
                    stop += 1
                return self._as_said(at, stop) if stop - hit[0] > 1 else ""  # "goes back as it was" gives no reason
        return ""

    def _of_another(self, verb: int, at: int) -> bool:
        """ "grease on it, not ordinary grease, because that swells": a reason for what was not taken."""
        start = at - 1
        while start > verb and not self._scan.gap[start]:
            start -= 1
        return start > verb and self._scan.text[start] == "not"

    def _compares(self, at: int) -> bool:
        """ "The same way round as they came off", "exactly as they were": how it goes on, and not why."""
        text = self._scan.text
        return text[at] == "as" and not _COMPARED.isdisjoint(text[max(0, at - _COMPARED_WITHIN) : at])

    def _until_break(self, cues: PhraseTable[bool], start: int, end: int, longest: int) -> str:
        text, gap = self._scan.text, self._scan.gap
        for at in range(start, end):
            hit = cues.at(text, at)
            if not hit or hit[0] >= len(text) or text[hit[0]] in ("i", "it", "and", "so", "but", "there", "here"):
                continue
            stop = hit[0]
            while (
                stop < end
                and stop - at < longest
                and not gap[stop]
                and text[stop] not in ("so", "and", "but", "i", "you", "is", "are")
            ):
                stop += 1
            return self._told(at, stop) if stop > hit[0] else ""
        return ""

    def _as_said(self, start: int, end: int) -> str:
        """The words with their capitals and commas, but for those at the edges."""
        indexes = dict.fromkeys(unit.token for unit in self._scan.units[start:end])
        first, *others = (self._tokens[index].text for index in indexes)
        return " ".join([first.lower(), *others]).strip(_MARKS)

    def _told(self, start: int, end: int) -> str:
        """The words as they were said, without the punctuation at their edges."""
        indexes = dict.fromkeys(unit.token for unit in self._scan.units[start:end])
        return " ".join(bare(self._tokens[index].text) for index in indexes)

    def _sentence_end(self, at: int) -> int:
        for index in range(at + 1, len(self._scan.gap)):
            if self._scan.gap[index] >= SENTENCE or (self._scan.gap[index] >= PAUSE and index > at + 3):
                return index
        return len(self._scan.gap)


def _same_head(phrase: Phrase, objects: list[Phrase]) -> bool:
    return any(phrase.head == part.head for part in objects)


def owned_places(scan: Scan) -> dict[int, int]:
    """ "axle nut on the left": the last token of the part that a place is said right behind, by the token of each word
    of the place."""
    owners: dict[int, int] = {}
    for place in () if scan.bare else scan.phrases:
        if place.is_part or not (place.side or place.position) or scan.text[place.start - 1] not in ("on", "at"):
            continue
        part = scan.ending.get(place.start - 1)
        if part is not None and part.is_part and not any(scan.gap[part.end : place.end]):
            tokens = (unit.token for unit in scan.units[place.start : place.end])
            owners.update(dict.fromkeys(tokens, scan.units[part.end - 1].token))
    return owners
