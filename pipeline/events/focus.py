"""What "it", "those" and "the new one" point at: the parts last talked about."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pipeline.events.phrases import Phrase, Scan

REACH = 120


@dataclass(frozen=True, slots=True)
class _Talk:
    at: int
    parts: tuple[Phrase, ...]
    strong: bool


class Focus:
    """Parts in the order they were talked about. A part named as a place ("on the shaft") is a weak candidate."""

    def __init__(self, scan: Scan, prepositions: frozenset[str]) -> None:
        self._scan = scan
        self._talks: list[_Talk] = []
        self._waiting = [phrase for phrase in scan.phrases if phrase.is_part]
        self._place = 0
        self._prepositions = prepositions

    def pass_over(self, until: int) -> None:
        """Takes in every named part that starts before unit `until`."""
        while self._place < len(self._waiting) and self._waiting[self._place].start < until:
            phrase = self._waiting[self._place]
            before = self._scan.text[phrase.start - 1] if phrase.start else ""
            governed = before in self._prepositions and before not in ("so", "then", "like")
            strong = not (governed and not self._scan.gap[phrase.start]) and not phrase.weak
            strong = strong and phrase.kind not in ("tool", "measure")
            self._talks.append(_Talk(phrase.start, (phrase,), strong))
            self._place += 1

    def touch(self, at: int, parts: list[Phrase]) -> None:
        """These parts are being talked about at unit `at`."""
        if parts:
            self._talks.append(_Talk(at, tuple(parts), True))

    def describe(self, phrase: Phrase, condition: str, finish: str, side: str = "", position: str = "") -> Phrase:
        """A later remark ("it's the original one") is kept with the part."""
        better = replace(
            phrase, condition=phrase.condition or condition, finish=phrase.finish or finish,
            side=phrase.side or side, position=phrase.position or position,
        )  # fmt: skip
        self._talks = [
            _Talk(talk.at, tuple(better if part == phrase else part for part in talk.parts), talk.strong)
            for talk in self._talks
        ]
        return better

    def resolve(self, pronoun: Phrase) -> list[Phrase]:
        """The parts a pronoun stands for; an empty list where nothing was talked about lately."""
        self.pass_over(pronoun.start)
        recent = [
            talk for talk in reversed(self._talks) if pronoun.start - talk.at <= REACH and talk.at < pronoun.start
        ]
        found: list[Phrase] = []
        if pronoun.plural:
            found = self._first(recent, many=True)
        found = found or self._first(recent, many=False, single=not pronoun.plural)
        if not found:
            found = self._first(recent, many=False)
        own = {name: value for name in ("side", "position", "condition", "finish") if (value := getattr(pronoun, name))}
        if pronoun.count:
            own["count"] = pronoun.count
        if pronoun.determiner in ("another", "other") or "condition" in own:
            found = [replace(part, condition="", finish="", count=None) for part in found]
        if pronoun.side or (pronoun.head == "one" and self._scan.text[pronoun.end - 1] == "other"):
            found = [replace(part, count=None) for part in found]
        return [replace(part, **own) for part in found]

    @staticmethod
    def _first(talks: list[_Talk], many: bool, single: bool = False) -> list[Phrase]:
        for strong in (True, False):
            for talk in talks:
                if talk.strong != strong and not (talk.strong and not strong):
                    continue
                if many and not (len(talk.parts) > 1 or talk.parts[0].plural):
                    continue
                if single and (len(talk.parts) > 1 or talk.parts[0].plural):
                    continue
                return list(talk.parts)
        return []
