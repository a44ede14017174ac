"""British or American spelling of what we write ourselves. What was said is never respelled."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

from pipeline.records import Spelling
from pipeline.tokens import bare
from pipeline.vocabulary import Vocabulary, regular_plural

# Written for this project; common usage. One line a word, British to American, lower case.
AMERICAN = {
    "aluminium": "aluminum",
    "analyse": "analyze",
    "carburettor": "carburetor",
    "carburettors": "carburetors",
    "catalogue": "catalog",
    "centre": "center",
    "centred": "centered",
    "centres": "centers",
    "colour": "color",
    "coloured": "colored",
    "colours": "colors",
    "fibre": "fiber",
    "grey": "gray",
    "licence": "license",
    "licenced": "licensed",
    "litre": "liter",
    "litres": "liters",
    "metre": "meter",
    "metres": "meters",
    "millimetre": "millimeter",
    "millimetres": "millimeters",
    "mould": "mold",
    "newton-metre": "newton-meter",
    "newton-metres": "newton-meters",
    "slacken": "loosen",
    "slackened": "loosened",
    "spanner": "wrench",
    "spanners": "wrenches",
    "tyre": "tire",
    "tyres": "tires",
    "unladen": "unloaded",
    "vice": "vise",
}

_WORD = re.compile(r"[A-Za-z]+(?:-[A-Za-z]+)*")


def in_spelling(text: str, spelling: Spelling) -> str:
    """Our own words in the reader's spelling, keeping capitals.

    >>> in_spelling("Tyres: check the centre nut", "american")
    'Tires: check the center nut'
    """
    return _WORD.sub(_americanise, text) if spelling == "american" else text


def _americanise(match: re.Match[str]) -> str:
    word = match[0]
    other = AMERICAN.get(word.lower())
    if other is None:
        return word
    return other.capitalize() if word[0].isupper() else other


def long_date(day: date, spelling: Spelling) -> str:
    """A date that nobody can read two ways.

    >>> long_date(date(2031, 5, 7), "british"), long_date(date(2031, 5, 7), "american")
    ('7 May 2031', 'May 7, 2031')
    """
    month = day.strftime("%B")
    return f"{month} {day.day}, {day.year}" if spelling == "american" else f"{day.day} {month} {day.year}"


_STUFF = frozenset(("oil", "grease", "fluid", "coolant", "water", "air", "sealant"))


def placed(part: str, position: str, side: str) -> str:
    """The part with its place before it, unless its name says so: "front left brake shoe".

    >>> placed("brake shoe", "front", "left"), placed("front brake shoe", "front", "")
    ('front left brake shoe', 'front brake shoe')
    >>> placed("left-hand thread", "", "left"), placed("back brake", "rear", "")
    ('left-hand thread', 'back brake')
    >>> placed("oil", "", "left"), placed("fork oil", "front", "")
    ('oil, left', 'front fork oil')
    """
    said = part.lower().replace("-", " ").split()
    if said[:1] == ["back"] and position == "rear":
        position = ""
    place = [word for word in (position, side) if word and not set(word.lower().split()) <= set(said)]
    if place and part.lower() in _STUFF:  # no oil is a left one: it went into the left
        return f"{part}, {' '.join(place)}"
    return " ".join([*place, part])


@dataclass(frozen=True, slots=True)
class Names:
    """What to call a part: the reader's name for it, in the number that fits the count.

    `terms` leads from every spelling to the term; `others` are spellings that are not its name; `fluids` are the
    spellings of what is poured.
    """

    singular: dict[str, str]
    plural: dict[str, str]
    terms: dict[str, str]
    others: frozenset[str]
    fluids: frozenset[str]
    spelling: Spelling

    @classmethod
    def of(cls, vocabulary: Vocabulary, spelling: Spelling) -> Names:
        """Names of every term of the vocabulary, under each of its spellings and its plural."""
        singular: dict[str, str] = {}
        plural: dict[str, str] = {}
        # an American's boot is no trunk: a word that Americans use, too, is left to them
        theirs = {term.american.lower().split()[-1] for term in vocabulary.terms if " " in term.american}
        for term in vocabulary.terms:
            american = spelling == "american" and bool(term.american) and term.name not in theirs
            one = term.american if american else term.name
            many = regular_plural(term.american) if american else term.plural
            singular.setdefault(term.name, one)
            plural.setdefault(term.name, many)
            singular.setdefault(term.plural, many)
            plural.setdefault(term.plural, many)
        terms = {word: term.name for term in vocabulary.terms for word in (*term.spellings, term.plural)}
        fluids = {word for term in vocabulary.terms if term.kind == "fluid" for word in term.spellings}
        others = {word for term in vocabulary.terms for word in term.spellings if word != term.name}
        return cls(singular, plural, terms, frozenset(others), frozenset(fluids), spelling)

    def name(self, part: str, count: int | None = None) -> str:
        """The part's name; more than one gives its plural."""
        if count is not None and count > 1:
            return self.plural.get(part) or in_spelling(plural_of(part), self.spelling)
        return self.singular.get(part) or in_spelling(part, self.spelling)

    def said_number(self, part: str, said: str) -> int | None:
        """2 where the plural of the part was said, else None: "the flange nuts" are more than one."""
        many = self.plural.get(part) or plural_of(part)
        if not part or many == part:
            return None
        return 2 if bare(many.split()[-1]) in (bare(word) for word in said.split()) else None


_PLURALS = {
    "axis": "axes", "calf": "calves", "foot": "feet", "half": "halves", "knife": "knives", "leaf": "leaves",
    "loaf": "loaves", "scarf": "scarves", "shelf": "shelves", "tooth": "teeth",
}  # fmt: skip


def plural_of(part: str) -> str:
    """Plural of a part that no vocabulary knows; one that ends with an s may be a plural already.

    >>> plural_of("plunger knife"), plural_of("tooth"), plural_of("knotter"), plural_of("contacts")
    ('plunger knives', 'teeth', 'knotters', 'contacts')
    """
    last = part.rsplit(" ", 1)[-1]
    if last in _PLURALS:
        return part[: len(part) - len(last)] + _PLURALS[last]
    return part if part.endswith("s") or last in _PLURALS.values() or not part else regular_plural(part)
