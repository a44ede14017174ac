"""What may be told but the sentence rules would not swear to: proposals that only the learned weights can accept."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.events.groups import GroupSearch
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.reading import PAUSE
from pipeline.events.readings import FinishAt
from pipeline.events.rules import Rules
from pipeline.events.scope import Scope

_SKIPPED = frozenset(
    ("all", "not", "now", "just", "already", "nearly", "both", "still", "only", "finally", "fully", "properly", "nice",
     "well", "right", "straight", "never", "then", "also", "even", "really", "nicely")
)  # fmt: skip
_MOVES = {"down": "fit", "up": "fit", "gone": "remove"}
_JOINED = frozenset(("put", "take", "go", "come", "run", "pull", "push", "slide", "drop", "get", "lay", "fit", "set"))


class DoubtfulSearch(GroupSearch):
    """Proposes predicates beside those that the rules found."""

    def __init__(self, rules: Rules, scan: Scan, finish_at: FinishAt, predicates: list[Predicate]) -> None:
        super().__init__(rules, scan, finish_at)
        self._known = predicates
        self._covered: set[int] = set()
        for predicate in predicates:
            if predicate.action and not (predicate.form in ("past", "pp") and not predicate.objects):
                self._covered.update(range(predicate.verb, max(predicate.verb + 1, predicate.end)))

    def run(self) -> list[Predicate]:
        """The proposals in order of the words, each with its `doubt`."""
        found = []
        for at in range(len(self._scan.text)):
            if at in self._covered:
                continue
            for predicate in self._at(at):
                found.append(predicate)
                self._covered.update(range(predicate.verb, predicate.end))
                break
        return found

    def _at(self, at: int) -> Iterator[Predicate]:
        if at in self._scan.verbs:
            yield from self._moved(at)
            yield from self._listed_after(at)
        else:
            if self._scan.text[at] in self._rules.words["be"]:
                yield from self._stands(at)
            if self._scan.text[at] == "'d":
                yield from self._had(at)
            yield from self._short(at)
            yield from self._participle(at)

    def _particle(self, at: int) -> tuple[int, str] | None:
        text, scan = self._scan.text, self._scan
        if at >= len(text) or scan.gap[at] >= PAUSE or at in self._covered or at in scan.verbs:
            return None
        hit = self._rules.particles.at(text, at) or self._rules.states.at(text, at)
        if hit is None and text[at] in _MOVES:
            hit = at + 1, _MOVES[text[at]]
        return hit if hit and hit[1] else None

    def _past_adverbs(self, at: int) -> int:
        text = self._scan.text
        while at < len(text) and text[at] in _SKIPPED and not self._scan.gap[at] and not self._particle(at):
            at += 1
        return at

    def _stands(self, at: int) -> Iterator[Predicate]:
        """ "new rings are on both pistons", "the gasket's down"."""
        text, scan = self._scan.text, self._scan
        group = at
        while group and text[group - 1] in self._aux | {"'s", "not", "still", "now", "just"} and not scan.gap[group]:
            group -= 1
        subjects = self._subject(group)
        spot = self._past_adverbs(at + 1)
        hit = self._particle(spot)
        if hit is None or not subjects or subjects[-1].kind == "person":
            return
        yield Predicate(
            subjects[0].start, group, spot, hit[0], hit[1], "pp" if text[at] == "been" else "s", "state", "be",
            subjects[-1], list(subjects), said_as=f"is {' '.join(text[spot : hit[0]])}", doubt="stands",
        )  # fmt: skip

    def _moved(self, at: int) -> Iterator[Predicate]:
        """ "the shaft went through", "the quill dropped in my hand"; "held on with"."""
        end, verbs = self._scan.verbs[at]
        verb = next(
            (reading for reading in verbs if reading.lemma in self._rules.motion or reading.lemma in _JOINED), None
        )
        if verb is None:
            return
        spot = self._past_adverbs(end)
        hit = self._particle(spot)
        group = self._groups[at]
        subjects = self._subject(group)
        objects = [part for part in subjects if part.kind != "person"]
        if hit is None:
            after, stop = self._reader.objects_at(self._reader.skip(end), True)
            hit = self._particle(self._past_adverbs(stop)) if after else None
            objects = after
        elif not objects:
            objects, _ = self._reader.objects_at(self._reader.skip(hit[0]), False)
        if hit is None or not objects:
            return
        own = subjects[-1] if subjects else None
        tags = verb.tags
        form = "s" if "s" in tags else "pp" if "pp" in tags and own is not None and own.kind != "person" else "past"
        yield Predicate(
            subjects[0].start if subjects else group, group, at, hit[0], hit[1], form, "middle", verb.lemma, own,
            objects, said_as=f"{verb.lemma} {' '.join(self._scan.text[spot : hit[0]])[-20:]}", doubt="moved",
        )  # fmt: skip

    def _had(self, at: int) -> Iterator[Predicate]:
        """ "I'd the suction hose off her", "I'd that in bits"."""
        objects, stop = self._reader.objects_at(at + 1, True)
        hit = self._particle(self._past_adverbs(stop)) if objects and objects[0].kind != "person" else None
        if hit is not None:
            said = " ".join(self._scan.text[stop : hit[0]])
            yield Predicate(
                at, at, at, hit[0], hit[1], "pp", "active", "have", self._scan.ending.get(at), objects,
                said_as=f"had {said}", doubt="had",
            )  # fmt: skip

    def _listed_after(self, at: int) -> Iterator[Predicate]:
        """ "Cleaned: the head, the ports"."""
        end, verbs = self._scan.verbs[at]
        verb = next(
            (reading for reading in verbs if "pp" in reading.tags and self._rules.plain.get(reading.lemma)), None
        )
        if verb is None or end >= len(self._scan.gap) or self._scan.gap[end] != PAUSE:
            return
        objects, stop = self._reader.objects_at(end, False, opening=True)
        if objects and objects[0].is_part:
            yield Predicate(
                at, at, at, stop, self._rules.plain[verb.lemma], "pp", "verbless", verb.lemma, None, objects,
                said_as=verb.lemma, doubt="list",
            )  # fmt: skip

    def _short(self, at: int) -> Iterator[Predicate]:
        """ "Barrel down, screws in with a dab of thread lock"."""
        part = self._scan.ending.get(at)
        if part is None or not part.is_part or not self._scan.gap[at] < 3:
            return
        before = self._scan.text[part.start - 1] if part.start else ""
        if not (self._scan.gap[part.start] or before in ("and", "then", "with", "so")):
            return
        hit = self._particle(at)
        if hit is None:
            return
        yield Predicate(
            part.start, at, at, hit[0], hit[1], "pp", "verbless", "", part, [part],
            said_as=" ".join(self._scan.text[at : hit[0]]), doubt="short",
        )  # fmt: skip

    def _participle(self, at: int) -> Iterator[Predicate]:
        """A form like "slackened" that was taken for a describing word or a noun."""
        text, scan = self._scan.text, self._scan
        readings = self._rules.verbs.at(text, at)
        if not readings or not any(reading.tags & {"pp", "past"} for reading in readings[1]):
            return
        end = readings[0]
        verb = next((r for r in readings[1] if r.tags & {"pp", "past"} and self._rules.plain.get(r.lemma)), None)
        if verb is None:
            return
        group = at
        while group and text[group - 1] in self._aux | {"'s", "not", "just", "now"} and not scan.gap[group]:
            group -= 1
        subjects = [part for part in self._subject(group) if part.kind != "person"]
        after, stop = self._reader.objects_at(self._reader.skip(end), False)
        objects: list[Phrase] = subjects if group < at or not after else after
        inside = scan.starting.get(at)
        if not objects and inside is not None and inside.is_part:
            objects, stop = [inside], inside.end
        if objects:
            yield Predicate(
                group, group, at, max(end, stop if objects is after else end), self._rules.plain[verb.lemma], "pp",
                "passive" if objects is subjects else "active", verb.lemma,
                objects[-1] if objects is subjects else None, objects, said_as=verb.lemma, doubt="describing",
            )  # fmt: skip


def doubtful(
    rules: Rules, scan: Scan, finish_at: FinishAt, predicates: list[Predicate], questions: frozenset[int]
) -> list[Predicate]:
    """The proposals, each with the status that it would have if it were told."""
    found = DoubtfulSearch(rules, scan, finish_at, predicates).run()
    merged = sorted([*predicates, *found], key=lambda predicate: predicate.verb)
    scope = Scope(rules, scan, merged)
    scope.question_ends = questions
    scope.decide_only(frozenset(map(id, found)))
    return found
