"""The words around an event: its sentence, and which cues stand in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.events.phrase import Scan
from pipeline.events.reading import PAUSE, SENTENCE
from pipeline.events.rules import Rules
from pipeline.records import Event, Token

_REACH = 16


class Sentences:
    """Cues of vocab/events/cues.toml over the tokens of one recording."""

    def __init__(self, scan: Scan, tokens: Sequence[Token], rules: Rules) -> None:
        self.scan, self._tokens, self.rules = scan, tokens, rules
        self._unit_of: dict[int, int] = {}
        for index, unit in enumerate(scan.units):
            self._unit_of.setdefault(tokens[unit.token].start_word, index)

    def units(self, event: Event) -> tuple[int, int]:
        """Units (start, end) of the words of an event."""
        return self._unit_of.get(event.start_word, 0), self._unit_of.get(event.end_word, len(self.scan.text))

    def span(self, event: Event) -> tuple[int, int]:
        """Units (start, end) of an event and of what is said on in the same breath."""
        start, end = self.units(event)
        stop = end
        while stop < len(self.scan.text) and stop - end < _REACH and self.scan.gap[stop] < PAUSE:
            if self.scan.text[stop] in ("so", "now", "right", "anyway", "but", "and") or self.scan.text[stop] == "then":
                break
            stop += 1
        return start, stop

    def has(self, cue: str, event: Event) -> bool:
        """True where a cue stands in the words of the event or right after them."""
        start, end = self.span(event)
        return any((hit := self.rules.cues[cue].at(self.scan.text, at)) and hit[0] <= end for at in range(start, end))

    def still_open(self, event: Event) -> bool:
        """ "haven't", "not yet", "still not": open, where "didn't" is only told."""
        start, end = self.span(event)
        words = self.scan.text[max(0, start - 3) : end]
        if "you" in words:
            return False
        perfect = any(
            word in ("have", "has", "is", "are", "'s", "forgot", "forgotten", "none", "yet", "still") for word in words
        )
        if event.action in ("tighten", "torque") and "did" not in words:
            return True
        if "have" not in words and "has" not in words and not {"yet", "still", "forgot", "forgotten"} & set(words):
            return False
        return perfect and not any(word in ("going", "need", "needs", "needed", "never", "ever") for word in words)

    def left_off(self, event: Event) -> bool:
        """ "I've left that off for now", "until the paint's dry"."""
        start, end = self.span(event)
        words = self.scan.text[start:end]
        if not {"left", "leaving"} & set(words) or "you" in words:
            return False
        return bool({"until", "till"} & set(words)) or self.any_cue(("temporary",), start, end)

    def not_yet(self, event: Event) -> bool:
        """Said to come: "not yet", "still not"."""
        start, end = self.span(event)
        return bool({"yet", "still", "forgot", "forgotten"} & set(self.scan.text[max(0, start - 3) : end]))

    def is_wanted(self, event: Event) -> bool:
        """ "needs replacing", "wants doing", "still to be fitted"."""
        start, end = self.span(event)
        words = self.scan.text[start:end]
        speaker = any(word in ("i", "we", "you") for word in words)
        opens = start == 0 or self.scan.gap[start] == SENTENCE or not any(gap == SENTENCE for gap in self.scan.gap[1:])
        named = words and words[0] not in ("it", "they", "that", "those", "so", "next")
        if not (opens and named) and not {"still", "left", "yet"} & set(words) and not self.has("deferred", event):
            return False
        if start > 1 and self.scan.text[start - 1] == "job":
            return False
        return not speaker and any(
            word in ("need", "needs", "want", "wants", "still", "left", "yet", "ought", "should") for word in words
        )

    def waits(self, event: Event) -> bool:
        """ "I'll torque those when the wheel is on the ground"."""
        start, end = self.span(event)
        return any(word in ("when", "once", "after") for word in self.scan.text[start + 2 : end])

    def again(self, event: Event) -> bool:
        """ "that has to come off again"."""
        start, end = self.span(event)
        words = self.scan.text[start:end]
        return "again" in words or "back" in words

    def cues(self, cue: str) -> Iterator[tuple[int, int]]:
        """(start, end) in units of every place where a cue is said."""
        for at in range(len(self.scan.text)):
            hit = self.rules.cues[cue].at(self.scan.text, at)
            if hit:
                yield at, hit[0]

    def around(self, event: Event) -> tuple[int, int]:
        """Units (start, end) of the sentence in which the words of an event end."""
        start, end = self.units(event)
        return self.bounds(max(start, end - 1))

    def bounds(self, at: int) -> tuple[int, int]:
        """Units (start, end) of the sentence around a unit."""
        start, end = at, at + 1
        while start > 0 and self.scan.gap[start] < SENTENCE and at - start < 24:
            start -= 1
        while end < len(self.scan.text) and self.scan.gap[end] < SENTENCE and end - at < 24:
            end += 1
        return start, end

    def lead(self, at: int, reach: int = 6) -> Sequence[str]:
        """The words right before a unit, back to the last break."""
        start = at
        while start > 0 and at - start < reach and not self.scan.gap[start]:
            start -= 1
        return self.scan.text[start:at]

    def any_cue(self, cues: Sequence[str], start: int, end: int) -> bool:
        """True where one of some cues is said within some units."""
        return any(self.rules.cues[cue].at(self.scan.text, at) for cue in cues for at in range(start, end))

    def told(self, start: int, end: int) -> tuple[str, int, int, int]:
        """(text, start_word, end_word, start_ms) of some units."""
        first, last = self.scan.units[start].token, self.scan.units[max(start, end - 1)].token
        tokens = self._tokens[first : last + 1]
        return " ".join(token.text for token in tokens), tokens[0].start_word, tokens[-1].end_word, tokens[0].start_ms
