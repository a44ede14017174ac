"""Which rows of a parts list are one part under two names: "the cable" that is the clutch cable."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pipeline.render.part_hosts import is_shared
from pipeline.vocabulary import Vocabulary

# A part that is called for short was named in full so long before, or is so right after, if that is what is meant.
_BEFORE_MS, _AFTER_MS = 20_000, 10_000
# A last word that more names than these share ("cover") says too little to be one thing wherever it is said.
_FEW_NAMES = 4
# Bolts are many: a plain one may be any of them.
_MANY = frozenset(("bolt", "nut", "screw", "stud", "washer", "ball", "pin", "rivet"))
# Words that tell two parts of one name apart, and those that tell only where a part was looked at.
_SIDES = frozenset(("front", "rear", "back", "left", "right", "near", "off", "inner", "outer", "upper", "lower", "top",
                    "bottom", "drive", "timing", "non", "side", "port", "starboard"))  # fmt: skip
_SPOTS = ("top", "bottom")

# In which recording of a build, and when.
Place = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Row:
    """What of a row of a parts list tells whether it is another one's part. `name` is the one name of all spellings,
    in the singular; `several` is True where more than one is meant; `places` are where it is spoken of."""

    name: str
    side: str
    position: str
    assembly: str
    condition: str
    number: str
    several: bool
    places: tuple[Place, ...]

    @property
    def words(self) -> frozenset[str]:
        """The words of its name and place; "snapped at the bottom" makes no other cable."""
        position = "" if self.position in _SPOTS else self.position
        return frozenset(f"{position} {self.side} {self.name}".lower().split())

    @property
    def head(self) -> str:
        """What sort of thing it is."""
        return self.name.lower().split()[-1]


class SameParts:
    """Look-ups over one vocabulary."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._heads = Counter(
            term.name.lower().split()[-1]
            for term in vocabulary.terms if " " in term.name and term.kind in ("part", "fastener")
        )  # fmt: skip

    def is_own(self, name: str) -> bool:
        """True for a name that says what it is of, under whatever heading it stands: "relief valve", "impeller"."""
        return not is_shared(name) and (" " in name or self._heads[name.lower()] <= _FEW_NAMES)

    def fuller(self, rows: Sequence[Row]) -> dict[int, int]:
        """For each row that is another one's part by a shorter name: the place of the one that has the full name."""
        found: dict[int, int] = {}
        # the longest first, so that "the nut" finds what "the clutch nut" is called in full
        for at in sorted(range(len(rows)), key=lambda place: -len(rows[place].words)):
            others = [place for place in range(len(rows)) if place not in found and _is_longer(rows[place], rows[at])]
            meant = self._meant(rows[at], [(place, rows[place]) for place in others])
            if meant is not None:
                found[at] = meant
        return found

    def _meant(self, row: Row, others: Sequence[tuple[int, Row]]) -> int | None:
        name = row.name.lower()
        if name in _MANY:
            return None
        short = " " not in name
        fitting = [pair for pair in others if not short or row.assembly in ("", pair[1].assembly)]
        chosen = [pair for pair in fitting if _is_near(row, pair[1])]
        if not chosen and len(others) == 1:
            # of two that differ in their place alone the one is not meant by the name of both
            chosen = [pair for pair in fitting if not pair[1].words - row.words <= _SIDES or _head_is_many(row)]
        return chosen[0][0] if len(chosen) == 1 else None


def _head_is_many(row: Row) -> bool:
    """ "The spindle nut" of a machine of which only the front one is spoken of."""
    return row.head in _MANY and " " in row.name


def _is_longer(other: Row, row: Row) -> bool:
    """True for a name that holds all words of the row's and more, of a part that may be the same."""
    if other.head != row.head or not row.words < other.words:
        return False
    if other.condition and row.condition and other.condition != row.condition:
        return False
    if row.several and not other.several:
        return False
    return not (other.number and row.number and other.number != row.number)


def _is_near(row: Row, other: Row) -> bool:
    """True where the full name was said shortly before; right after it only where one is meant and more than its
    place is added."""
    after_ms = 0 if row.several or other.words - row.words <= _SIDES else _AFTER_MS
    return any(
        mine[0] == theirs[0] and -after_ms <= mine[1] - theirs[1] <= _BEFORE_MS
        for mine in row.places for theirs in other.places
    )  # fmt: skip


def last_of(at: int, fuller: dict[int, int]) -> int:
    """The row that has the fullest name of all."""
    while at in fuller:
        at = fuller[at]
    return at


def fuller_names(names: Iterable[str]) -> dict[str, str]:
    """For each name of several words the one longer name there is of the same sort of thing that holds all of them:
    "clutch nut" -> "clutch centre nut"."""
    known = {name.lower() for name in names if len(name.split()) > 1}
    found = {}
    for name in known:
        longer = [
            other for other in known
            if other.split()[-1] == name.split()[-1] and set(name.split()) < set(other.split())
        ]  # fmt: skip
        if len(longer) == 1:
            found[name] = longer[0]
    return found
