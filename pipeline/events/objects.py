"""Lists of phrases after a verb, and where a clause may close."""

from __future__ import annotations

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.reading import COMMA, PAUSE
from pipeline.events.rules import Rules

_NOT_SKIPPED = frozenset(
    ("up", "back", "together", "free", "along", "there", "each", "all", "both", "once", "since", "though", "so")
)
_FILLERS = frozenset(("um", "er", "erm", "uh", "like", "know", "well", "say", "see"))
_WHEN = frozenset(("today", "now", "again", "too"))


class ObjectReader:
    """Reads phrases from one place on."""

    def __init__(self, rules: Rules, scan: Scan) -> None:
        self._rules, self._scan = rules, scan
        self._skip = rules.words["adverbs"] - _NOT_SKIPPED

    def skip(self, at: int) -> int:
        """The next unit that is no adverb, within the clause."""
        text, gap = self._scan.text, self._scan.gap
        while at < len(text) and text[at] in self._skip and gap[at] < PAUSE and at not in self._scan.starting:
            if at and gap[at] and text[at] in self._rules.words["openers"]:
                break
            at += 1
        return at

    def _skip_all(self, at: int) -> int:
        """Past adverbs, and past "all" and "both" after a pronoun: "stick it all back"."""
        at = self.skip(at)
        if at < len(self._scan.text) and self._scan.text[at] in ("all", "both") and at not in self._scan.verbs:
            at = self.skip(at + 1)
        return at

    def objects_at(self, at: int, shared_particle: bool, opening: bool = False) -> tuple[list[Phrase], int]:
        """The list of phrases that starts at `at` ("the nut, the washer and both springs") and where it ends."""
        scan = self._scan
        first = self._whole_of(scan.starting.get(at))
        if not first or first.kind == "person" or (scan.gap[at] >= PAUSE and not opening):
            return [], at
        if scan.gap[at] and at and not opening and scan.text[at - 1] not in _FILLERS:
            return [], at
        found, end = [first], first.end
        if (
            first.is_part
            and not first.determiner
            and not opening
            and not shared_particle
            and self.followed_by_verb(first, True)
        ):
            return [], at
        if first.is_pronoun and first.head in ("it", "that", "this", "which") and end in scan.verbs:
            return [], at
        while end < len(scan.text):
            joint = end
            while joint < len(scan.text) and scan.text[joint] in _WHEN and scan.gap[joint] < PAUSE:
                joint += 1
            nxt = end
            if joint < len(scan.text) and scan.text[joint] in ("and", "plus", "or") and scan.gap[joint] < PAUSE:
                nxt = joint + 1
            if nxt < len(scan.text) and nxt > end and scan.text[nxt] in ("then", "also"):
                break
            phrase = scan.starting.get(nxt)
            if not phrase or not phrase.is_part or scan.gap[nxt] >= PAUSE:
                break
            if first.is_pronoun and (phrase.determiner not in ("the", "both", "all") or first.head == "it"):
                break
            listed = scan.gap[nxt] > 0 and phrase.determiner in ("the", "both", "all", "my")
            known = listed or bool(phrase.kind and found[-1].kind)
            if nxt == end and (first.is_pronoun or phrase.weak or not known):
                break
            if nxt == end and not scan.gap[nxt] and not phrase.determiner:
                break
            if self.followed_by_verb(phrase, shared_particle) or self._is_fronted(phrase):
                break
            found.append(phrase)
            end = phrase.end
        return found, end

    def _whole_of(self, phrase: Phrase | None) -> Phrase | None:
        """ "the outside of the quill": the quill."""
        if phrase is None or phrase.head not in self._rules.words["sides_of"]:
            return phrase
        owner = self._scan.starting.get(phrase.end + 1)
        if self._scan.text[phrase.end : phrase.end + 1] != ["of"] or owner is None or self._scan.gap[phrase.end]:
            return phrase
        return owner if owner.is_part or owner.is_pronoun else phrase

    def _is_fronted(self, phrase: Phrase) -> bool:
        """ "and the slip rings I cleaned up": the next clause names its part first."""
        after = self._scan.starting.get(phrase.end)
        return after is not None and after.kind == "person" and not self._scan.gap[phrase.end]

    def followed_by_verb(self, phrase: Phrase, shared_particle: bool = False, depth: int = 0) -> bool:
        """True where the phrase is the subject of what comes next, not one more object."""
        scan, words = self._scan, self._rules.words
        at = self.skip(phrase.end)
        if at >= len(scan.text) or scan.gap[at] >= PAUSE:
            return False
        word = scan.text[at]
        if word in words["be"] or word in words["modals"] or word in ("'d", "not"):
            return True
        if word in ("has", "have", "gets", "get", "got", "had", "needs", "need", "wants", "want"):
            return True
        if at in scan.verbs and not scan.gap[at] >= COMMA:
            return True
        if shared_particle:
            return False
        state = self._rules.states.at(scan.text, at)
        return state is not None and scan.gap[at] == 0 and depth < 3 and self.closes(state[0], depth + 1)

    def closes(self, at: int, depth: int = 0) -> bool:
        """True where a clause may end: at a break, a conjunction, an opener, or a phrase that begins the next."""
        scan = self._scan
        if at >= len(scan.text) or scan.gap[at]:
            return True
        word = scan.text[at]
        if word in self._rules.words["conjunctions"] or word in self._rules.words["openers"]:
            return word not in ("that", "there", "here", "this")
        if word in ("with", "using"):
            return True
        phrase = scan.starting.get(at)
        if phrase is None:
            return False
        if (
            phrase.kind == "person"
            or (phrase.is_part and not phrase.determiner)
            or (phrase.head == "one" and phrase.condition != "")
        ):
            return True
        return (phrase.is_part or phrase.is_pronoun) and depth < 3 and self.followed_by_verb(phrase, depth=depth + 1)

    def to_place(self, at: int) -> bool:
        """True where what follows the particle is a bench or a box, where a part is put down."""
        phrase = self._scan.starting.get(at)
        if not phrase:
            return at < len(self._scan.text) and self._scan.text[at] in self._rules.words["places"]
        if phrase.side or phrase.position:
            return False
        last = " ".join(self._scan.text[phrase.start : phrase.end]).split()
        if last[-1] == "way":
            return self._scan.text[max(0, at - 2) : at] == ["out", "of"]
        places = self._rules.words["places"]
        return last[-1] in places or " ".join(last[-2:]) in places
