"""What speaks for and against a named part being the one that a clause leaves open."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.events.phrase import Phrase, Scan
from pipeline.loose_ends.clause_features import ClauseFeatures
from pipeline.loose_ends.names import PartNames
from pipeline.loose_ends.part_looks import GOVERNING, LINK, Candidate, PartLooks
from pipeline.loose_ends.reader_features import ReaderFeatures
from pipeline.loose_ends.signs import Clause, SignReader, load_signs, load_stuff
from pipeline.reader.reading import step

_BACK, _ON = 90, 24  # units
_FAR = 6
_STUFF = frozenset(("tool", "fluid", "material", "finish"))
_TELLING = frozenset(
    ("makeshift", "unfit", "fresh", "ordered", "names_side", "dry", "lacking", "has_fastener", "of_vessel")
)
_REFLEXIVE = frozenset(("itself", "everything"))


class PartFeatures(PartLooks):
    """The candidates of each clause of one text, with their features."""

    def __init__(
        self, scan: Scan, reader: SignReader, clauses: ClauseFeatures, names: PartNames, read: ReaderFeatures
    ) -> None:
        super().__init__(scan, names)
        self._reader, self._clauses, self._read = reader, clauses, read
        self._clause_of = [0] * (len(scan.text) + 1)
        for index, clause in enumerate(reader.clauses):
            for at in range(clause.start, clause.end):
                self._clause_of[at] = index
        self._centres: dict[int, str] = {}
        stop = load_stuff("no_part")
        self._parts = [
            phrase for phrase in scan.phrases
            if phrase.is_part and phrase.name.split()[-1] not in stop and not self._is_season(phrase)
        ]  # fmt: skip
        self._inside = [False] * (len(scan.text) + 1)
        for phrase in scan.phrases:
            for at in range(phrase.start, phrase.end):
                self._inside[at] = phrase.is_part

    def _is_season(self, phrase: Phrase) -> bool:
        """ "till spring", "in the spring"."""
        before = self._scan.text[max(0, phrase.start - 1) : phrase.start + 1]
        return phrase.head in ("spring", "fall") and bool(
            {"till", "until", "in", "next", "last", "this", "by"} & set(before)
        )

    def candidates(self, index: int) -> list[Candidate]:
        """Every part named shortly before a clause, in it or right after it."""
        clause = self._reader.clauses[index]
        found = []
        for phrase in self._parts:
            if clause.start - _BACK <= phrase.start < min(clause.end + _ON, len(self._scan.text)):
                later = self._clause_of[phrase.start] - index
                if later > 2 or (later > 0 and self._reader.clauses[index + later].sentence > clause.sentence + 1):
                    continue
                found.append(Candidate(phrase, phrase.name))
                box = self._names.container_of(phrase.name)
                if box != phrase.name:
                    found.append(Candidate(phrase, box, True))
        return found

    def of(self, index: int, kind: str) -> list[tuple[Candidate, set[str]]]:
        """The candidates of a clause with the names of their features for one kind of loose end."""
        candidates = self.candidates(index)
        clause = self._reader.clauses[index]
        anchor = self._anchor(index, kind)
        before = [
            candidate for candidate in candidates if candidate.phrase.start < clause.start and not candidate.contained
        ]
        inside = [candidate for candidate in candidates if clause.start <= candidate.phrase.start < clause.end]
        rank = {candidate.phrase.start: len(before) - place for place, candidate in enumerate(before)}
        pointing = self._pointing(clause)
        opening = self._opening(clause)
        rows = []
        told: dict[str, int] = {}
        for candidate in candidates:
            told[candidate.name] = told.get(candidate.name, 0) + 1
        last = {
            candidate.name: candidate.phrase.start for candidate in candidates if candidate.phrase.start < clause.end
        }
        about = self._read.of_parts(clause, kind, [candidate.phrase for candidate in candidates])
        best = max(about, default=0.0)
        for candidate, score in zip(candidates, about, strict=True):
            plain = set(self._of(candidate, clause, index, rank, bool(inside), pointing))
            plain.add(f"mentions:{min(3, told[candidate.name])}")
            if last.get(candidate.name) != candidate.phrase.start:
                plain.add("stale")
            plain.add(f"{self._zone(candidate.phrase, clause)}:opens:{opening}")
            plain.update(self._topic(candidate, index))
            plain.add(f"about={max(-5, step(score))}")
            plain.add(f"behind={min(6, round(best - score))}")
            own = set(self._from_sign(candidate.phrase, clause, index, anchor)) | plain
            rows.append((candidate, plain | {f"{kind}|{name}" for name in own}))
        return rows

    def _zone(self, phrase: Phrase, clause: Clause) -> str:
        return "before" if phrase.start < clause.start else "in" if phrase.start < clause.end else "after"

    def _opening(self, clause: Clause) -> str:
        """What the clause says something of: a pointing word, the speaker, a named part or nothing."""
        at = clause.start
        while at < clause.end and self._scan.text[at] in LINK:
            at += 1
        if at == clause.end:
            return "nothing"
        phrase = self._scan.starting.get(at)
        if self._scan.text[at] in ("it", "that", "they", "those", "these", "this", "he", "she", "both") and not (
            phrase is not None and phrase.is_part
        ):
            return "many" if self._scan.text[at] in ("they", "those", "these", "both") else "one"
        if self._scan.text[at] in ("i", "we"):
            return "speaker"
        if self._scan.text[at] == "there":
            return "there"
        return "part" if phrase is not None and phrase.is_part else "other"

    def _centre(self, index: int) -> str:
        """The part that a clause is mainly about: what is done in it, else what it opens with, else as before it."""
        if index < 0:
            return ""
        if index not in self._centres:
            clause = self._reader.clauses[index]
            done = [event.part for event in self._clauses.events(index)]
            named = [
                phrase for phrase in self._parts
                if clause.start <= phrase.start < clause.end and phrase.kind not in _STUFF
                and not phrase.weak
            ]  # fmt: skip
            free = [
                phrase for phrase in named
                if self._scan.gap[phrase.start] or self._scan.text[phrase.start - 1] not in GOVERNING
            ]  # fmt: skip
            known = [phrase for phrase in free if phrase.kind]
            self._centres[index] = (
                done[0] if done else known[0].name if known else free[0].name if free else self._centre(index - 1)
            )
        return self._centres[index]

    def _topic(self, candidate: Candidate, index: int) -> Iterator[str]:
        for back in (1, 2, 3):
            if index - back >= 0 and any(event.part == candidate.name for event in self._clauses.events(index - back)):
                yield f"done:{back}"
                break
        for back in (1, 2, 3):
            if self._centre(index - back) == candidate.name:
                yield f"centre:{back}"
                break

    def _from_sign(self, phrase: Phrase, clause: Clause, index: int, anchor: int) -> Iterator[str]:
        """Where the part stands as seen from the sign that tells."""
        if clause.start <= phrase.start < clause.end:
            yield "in:before" if phrase.end <= anchor else "in:after" if phrase.start >= anchor else "in:around"
            gap = anchor - phrase.end if phrase.end <= anchor else phrase.start - anchor
            yield f"in:gap{min(4, max(0, gap) // 2)}"
            for name, at in self._reader.signs[index].items():
                if name in _TELLING and phrase.start <= at < phrase.end:
                    yield f"own:{name}"

    def _anchor(self, index: int, kind: str) -> int:
        signs = self._reader.signs[index]
        own = [at for name, at in signs.items() if load_signs()[name].kind == kind]
        return min(own) if own else self._reader.clauses[index].start

    def _pointing(self, clause: Clause) -> str:
        """The first pronoun of a clause: "one", "many" or ""."""
        for phrase in self._scan.phrases_in(clause.start, clause.end):
            if phrase.is_pronoun and phrase.head not in _REFLEXIVE:
                return "many" if phrase.plural else "one"
        for at in range(clause.start, clause.end):
            if self._inside[at]:
                continue
            if self._scan.text[at] in ("that", "it", "this", "he", "him", "her") and at > clause.start:
                return "one"
            if self._scan.text[at] in ("those", "these", "they", "them", "both"):
                return "many"
        return ""

    def _of(
        self, candidate: Candidate, clause: Clause, index: int, rank: dict[int, int], inside: bool, pointing: str,
    ) -> Iterator[str]:  # fmt: skip
        phrase = candidate.phrase
        place = self._clause_of[phrase.start]
        distance = index - place
        zone = "in" if distance == 0 else "after" if distance < 0 else "before"
        if distance == 0:
            first = [other for other in self._parts if clause.start <= other.start < clause.end]
            yield f"in:{min(3, first.index(phrase))}of{min(3, len(first))}"
        elif distance < 0:
            yield f"after{-distance}"
            yield "after:same" if self._reader.clauses[place].sentence == clause.sentence else "after:next"
        else:
            yield f"clauses:{min(_FAR, distance)}"
            yield f"sentences:{min(3, clause.sentence - self._reader.clauses[place].sentence)}"
            yield f"rank:{min(5, rank[phrase.start])}"
        yield f"{zone}:{'inside' if inside else 'none'}:{pointing}:{'many' if phrase.plural else 'one'}"
        yield from self._grammar(candidate, zone)
        yield from self._nature(candidate, zone)
        for event in self._clauses.events(index):
            if event.part == candidate.name:
                yield f"event:{event.status}"
                yield "event"
        for event in self._clauses.events(place) if distance > 0 else ():
            if event.part == candidate.name:
                yield f"told:{event.status}"
                yield f"told:{event.action}"
        for name in self._reader.signs[place]:
            if name in _TELLING:
                yield f"{zone}:beside:{name}"
