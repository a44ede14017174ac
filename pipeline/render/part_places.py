"""What the name of a part says about where on the machine it is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Set

from pipeline.chapters import topic_words
from pipeline.records import Spelling
from pipeline.vocabulary import Vocabulary, regular_plural, regular_singular

# Assemblies of the vocabulary that are sorts of things and not places on a machine.
SORTS = ("bench", "fasteners", "finishes", "fluids", "hardware", "materials", "measuring", "tools", "workshop")

# How much a name says that the vocabulary has, of several words and of one; the words before its last ("quill spring");
# and a last word by which parts are called for short ("shoe", "drum").
_LONG_NAME, _SHORT_NAME, _FIRST_WORDS, _LAST_WORDS = 2.0, 1.5, 1.0, 0.8
# An assembly whose caution matters most is not lightly taken for another.
_DANGER = 1.3
_DANGEROUS = ("brakes", "steering", "wheels")
# Words that so few of the terms with them share with an assembly say nothing for it.
_LEAST_SHARE = 0.3
# A word that opens so many names of one assembly, and that share of all, is a name for it.
_TOPIC, _TOPIC_NAMES, _TOPIC_SHARE = 1.0, 3, 0.8
# What the log says of a part counts so much where the name agrees.
_TOLD = 1.5
# A name of another sort of machine's counts so much among them.
_ELSEWHERE = 0.1
# The float of these is their play, and no carburettor's.
_HAS_PLAY = frozenset(
    ("bearing", "camshaft", "crank", "crankshaft", "gear", "hub", "race", "rod", "shaft", "spindle", "wheel")
)
# However many others are called so for short, a part's own name says so much of what it could.
_LEAST_OWN = 0.5


class PartPlaces:
    """How much a name speaks for each assembly out of those that the machine may have."""

    def __init__(
        self,
        vocabulary: Vocabulary,
        allowed: Set[str],
        spelling: Spelling,
        vague: Set[str] = frozenset(),
        own: Mapping[str, str] | None = None,
    ) -> None:
        """`vague`: names that say nothing, since nobody knows the sort of machine; `own`: assembly by what this sort
        of machine calls so."""
        self._own = own or {}
        self._allowed = set(allowed)
        self._vague = vague
        self._real = self._allowed - set(SORTS)
        self._dangerous = {key for key in self._real if vocabulary.assemblies[key].hazard in _DANGEROUS}
        # wording -> (name in the singular, assembly)
        self._names: dict[str, tuple[str, str]] = {}
        self._foreign: set[str] = set()
        self._starts: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
        self._ends: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
        # an American's boot is no trunk: a word that Americans use, too, is left to them
        theirs = {term.american.split()[-1] for term in vocabulary.terms if " " in term.american}
        for term in vocabulary.terms:
            if not term.part_of or term.kind in ("action", "finish", "measure"):
                continue
            for name in term.spellings:
                if spelling == "american" and term.american and name == term.name and name in theirs:
                    continue
                self._count(name.lower(), term.part_of)
                if term.part_of not in allowed:
                    self._foreign.update((name.lower(), regular_plural(name.lower())))
                    continue
                for wording in (name.lower(), regular_plural(name.lower())):
                    self._names.setdefault(wording, (name.lower(), term.part_of))
            if term.part_of in allowed:
                self._names.setdefault(term.plural.lower(), (term.name.lower(), term.part_of))
        self._titles = {vocabulary.assemblies[key].title.lower() for key in self._real}
        for key in self._real:
            title = vocabulary.assemblies[key].title.lower()
            if " " not in title:
                self._names.setdefault(title, (title, key))

    def _count(self, name: str, assembly: str) -> None:
        weight = 1.0 if assembly in self._allowed else _ELSEWHERE
        words = name.split()
        for at in range(1, len(words) + 1):
            self._starts[" ".join(words[:at])][assembly] += weight
            self._ends[" ".join(words[-at:])][assembly] += weight

    def of(self, part: str, told: str = "") -> dict[str, float]:
        """Assemblies with how much speaks for each, from 0 to about 3; none where the name is of no place.

        `told`: the assembly that the log has it of; it counts where no pack explains the name, or none against it.
        """
        if told_by_sort := self._of_this_sort(part.lower()):
            return told_by_sort
        name, assembly = self._names.get(part.lower(), (part.lower(), ""))
        words = name.split()
        if self._is_vague(part.lower(), words):
            return {}
        if words[-1:] == ["float"] and words[-2:-1] and words[-2] in _HAS_PLAY:
            return self.of(" ".join(words[:-1]), told)
        if not words or (len(words) == 1 and (assembly in SORTS or name in topic_words().general)):
            return {}
        found: dict[str, float] = defaultdict(float)
        ends = self._ends.get(name) or self._ends.get(words[-1])
        for key, share in self._shares(ends).items():
            found[key] = _LAST_WORDS * share
        if assembly in self._real:
            own = self._share(self._ends[name], assembly) if name in self._ends else 1.0
            weight = (_LONG_NAME if len(words) > 1 else _SHORT_NAME) * max(own, _LEAST_OWN)
            found[assembly] = max(found[assembly], weight)
        else:
            for key, share in self._of_first_words(words).items():
                found[key] += _FIRST_WORDS * share
            if told in self._real and (told in found or ends is None):
                found[told] = max(found[told], _TOLD)
        return {key: weight * (_DANGER if key in self._dangerous else 1.0) for key, weight in found.items()}

    def _of_this_sort(self, part: str) -> dict[str, float]:
        """The place of what this sort of machine calls so; a whole name of the vocabulary says more than its last
        word ("fuel tank")."""
        words = part.split()
        if not self._own or not words:
            return {}
        words = [*words[:-1], regular_singular(words[-1])]
        whole = " ".join(words)
        if whole not in self._own and self._names.get(part, ("", ""))[1] in self._real:
            return {}
        ends = (" ".join(words[at:]) for at in range(len(words)))
        starts = (" ".join(words[:at]) for at in range(len(words) - 1, 0, -1))
        name = next((name for name in (*ends, *starts) if name in self._own), "")
        key = self._own.get(name, "")
        return {key: _LONG_NAME if " " in name or whole == name else _SHORT_NAME} if key in self._real else {}

    def topic(self, word: str) -> dict[str, float]:
        """The assembly that a word is of by which several of its parts are named first: "the knee" has a knee lock."""
        counts = self._starts.get(word, {}) if word not in self._vague else {}
        return {
            key: _TOPIC for key, many in counts.items()
            if key in self._real and many >= _TOPIC_NAMES and self._share(counts, key) >= _TOPIC_SHARE
        }  # fmt: skip

    def _is_vague(self, part: str, words: list[str]) -> bool:
        """True for "yoke" and "back plate" where they may be anything's, and for what no pack has that is called after
        such a thing or ends as one does ("escape wheel", "yoke arm"); a caliper's bolt is a caliper's."""
        if not self._vague or not words:
            return False
        if " ".join([*words[:-1], regular_singular(words[-1])]) in self._vague:
            return True
        if part in self._names:
            return False
        known = (" ".join(words[:length]) for length in range(len(words) - 1, 0, -1))
        first = next((name for name in known if name in self._names), "")
        own = (first, words[-1] if words[-1] in self._names else "")
        return not any(name and name not in self._vague and self._names[name][1] in self._real for name in own)

    def is_whole(self, name: str) -> bool:
        """True for the name of an assembly: "the hydraulics", "brakes", "the clutch"."""
        return name in self._titles

    def is_strange(self, part: str) -> bool:
        """True for a part that the vocabulary does not know by this name."""
        return part.lower() not in self._names and not self._of_this_sort(part.lower())

    def is_foreign(self, part: str) -> bool:
        """True for a part that the vocabulary knows of other machines only."""
        return part.lower() in self._foreign and self.is_strange(part)

    def _of_first_words(self, words: list[str]) -> dict[str, float]:
        """The spring of the quill is where the quill is."""
        for length in range(len(words) - 1, 0, -1):
            name = " ".join(words[:length])
            counts = self._starts.get(name) or self._ends.get(name)
            if counts:
                return self._shares(counts)
        return {}

    def _shares(self, counts: Mapping[str, float] | None) -> dict[str, float]:
        """The share of each assembly among the terms counted, without the small ones."""
        shares = {key: self._share(counts, key) for key in self._real & set(counts)} if counts else {}
        return {key: share for key, share in shares.items() if share >= _LEAST_SHARE}

    @staticmethod
    def _share(counts: Mapping[str, float], assembly: str) -> float:
        return counts[assembly] / sum(counts.values())
