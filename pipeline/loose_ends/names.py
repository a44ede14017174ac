"""What the vocabulary knows of a part by its name: other names, pairs, fasteners, danger."""

from __future__ import annotations

from pipeline.events.rules import load_rules
from pipeline.loose_ends.signs import load_stuff
from pipeline.vocabulary import Term, Vocabulary

_DANGER = frozenset(("brakes", "wheels", "steering"))
_GENERIC = frozenset(("fasteners", "hardware", "fluids", "materials", "finishes", "tools", ""))
_ELSEWHERE = frozenset(("exhaust", "engine", "sump", "head", "gearbox", "clutch", "seat", "tank", "carb", "manifold"))
_FLUIDS = frozenset(("oil", "coolant", "fluid", "lubricant"))
_AIRED = frozenset(("tyre", "tire", "tube", "wheel"))
_COVERS = frozenset(
    (
        "cover",
        "cap",
        "lid",
        "casing",
        "case",
        "housing",
        "guard",
        "plug",
        "door",
        "hatch",
        "undertray",
        "panel",
        "shroud",
        "cowl",
        "cowling",
        "flap",
        "tunnel",
    )
)
_LINES = frozenset(
    (
        "hose",
        "line",
        "pipe",
        "flexi",
        "banjo",
        "banjo bolt",
        "brake line",
        "brake pipe",
        "brake hose",
        "flexi hose",
        "master cylinder",
        "wheel cylinder",
    )
)


class PartNames:
    """Look-ups over one vocabulary."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._terms = {
            _plain(name): term for term in vocabulary.terms for name in reversed((*term.spellings, term.plural))
        }
        self._assemblies = vocabulary.assemblies
        self._safety = frozenset(load_rules().words["safety_heads"])

    def name_of(self, part: str) -> str:
        """The one name that all spellings of a part share; a part that is not in the vocabulary keeps its own."""
        term = self._terms.get(_plain(part))
        return _plain(term.name) if term else _plain(part)

    def is_paired(self, part: str) -> bool:
        """True for a part there is on the left and on the right."""
        term = self._longest(part)
        return term is not None and term.pair == "sides"

    def container_of(self, part: str) -> str:
        """What a fluid goes into where its name says so ("gearbox oil"); any other part as it is."""
        words = part.split()
        term = self._terms.get(_plain(" ".join(words[:-1]))) if len(words) > 1 and words[-1] in _FLUIDS else None
        return " ".join(words[:-1]) if term is not None and term.kind == "part" else part

    def can_be(self, action: str, part: str) -> bool:
        """False for a job that no such part has: a chain told after "top up the oil" is not topped up."""
        head = _plain(part).split()[-1]
        if action not in ("fill", "top_up") or self.is_fluid(part):
            return True
        return head in _AIRED or head in load_stuff("vessel") - {"brake"}

    def is_fluid(self, part: str) -> bool:
        """True for oil and the like."""
        term = self._longest(part)
        return (term is not None and term.kind == "fluid") or _plain(part).split()[-1] in _FLUIDS | {"water", "grease"}

    def is_tool(self, part: str) -> bool:
        """True for what is worked with and goes on no machine."""
        term = self._longest(part)
        return term is not None and term.kind == "tool"

    def is_cover(self, part: str) -> bool:
        """True for what closes an opening."""
        return _plain(part).split()[-1] in _COVERS

    def around(self, part: str, before: str) -> str:
        """The hazard of what is being worked on once a part is named, for the plain hardware after it."""
        if self.is_generic(part) and not self._belongs(part):
            return before
        return self.hazard_of(part)

    def is_generic(self, part: str) -> bool:
        """True for plain hardware, which belongs to whatever is being worked on."""
        return self._assembly(part) in _GENERIC

    def is_fastener(self, part: str) -> bool:
        """True for a nut, bolt, screw or spindle."""
        return _plain(part).split()[-1] in self._safety

    def hazard_of(self, part: str) -> str:
        """The hazard of the assembly that a part, or the longest piece of its name, belongs to; "" for none."""
        words = _plain(part).split()
        if {"brake", "brakes", "caliper"} & set(words):
            return "brakes"
        for size in range(len(words), 0, -1):
            for start in range(len(words) - size + 1):
                term = self._terms.get(" ".join(words[start : start + size]))
                assembly = self._assemblies.get(term.part_of) if term else None
                if assembly is not None and term is not None and term.part_of not in _GENERIC:
                    return assembly.hazard
        return ""

    def is_dangerous(self, part: str, around: str) -> bool:
        """True for a fastener of brakes, wheels, steering or suspension; plain hardware takes what is `around` it."""
        own = self.hazard_of(part)
        if not own and self._belongs(part):
            return False
        if own or not self.is_generic(part):
            return own in _DANGER
        return around in _DANGER

    def _belongs(self, part: str) -> bool:
        """True where a word of the name belongs to one assembly: "exhaust flange nut"."""
        words = _plain(part).split()
        for size in range(len(words), 0, -1):
            for start in range(len(words) - size + 1):
                term = self._terms.get(" ".join(words[start : start + size]))
                if term is not None and term.part_of not in _GENERIC:
                    return True
        return any(word in _ELSEWHERE for word in words)

    def is_brake_line(self, part: str) -> bool:
        """True where taking the part off opens a brake's hydraulics."""
        words = _plain(part).split()
        tail = words[-1] in _LINES or " ".join(words[-2:]) in _LINES
        return tail and (self.hazard_of(part) == "brakes" or "brake" in words or "caliper" in words or "banjo" in words)

    def _assembly(self, part: str) -> str:
        term = self._terms.get(_plain(part)) or self._longest(part)
        return term.part_of if term else ""

    def _longest(self, part: str) -> Term | None:
        words = _plain(part).split()
        for start in range(len(words)):
            term = self._terms.get(" ".join(words[start:]))
            if term is not None:
                return term
        return None


def _plain(name: str) -> str:
    return name.lower().replace("-", " ")
