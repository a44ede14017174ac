"""What every vocabulary pack must hold to, as plain functions: each takes packs and returns the faults it finds.

Nothing stops at the first fault: `faults` runs all checks over all packs and returns one sentence per fault, with
the file and the line, so that an editor of a pack mends everything in one go.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from pipeline.vocabulary import regular_plural

KINDS = ("part", "fastener", "tool", "fluid", "finish", "material", "action", "measure")
PAIRS = ("sides", "ends")
TOP_KEYS = {"source", "kind", "part_of", "terms"}
TERM_KEYS = {"part_of": str, "us": str, "also": list, "kind": str, "plural": str, "pair": str}
MOST_WORDS = 5  # the corrector compares at most five heard words with a term

# Last words whose plural no rule of English gives: a term that ends in one must say its plural.
IRREGULAR = {"axis", "calf", "foot", "half", "knife", "leaf", "loaf", "man", "mouse", "radius", "shelf", "tooth"}
# Singulars in a single s that take the regular -es.
SINGULAR_S = {"bias", "canvas", "gas", "lens"}

# American words that a British name does not use. The British words are in Debian's word list wbritish, the American
# ones in wamerican (a test holds the table against both); some are British words too, with another meaning (tire).
AMERICAN = {
    "adapter": "adaptor",
    "aluminum": "aluminium",
    "carburetor": "carburettor",
    "center": "centre",
    "color": "colour",
    "fender": "mudguard or wing",
    "fiber": "fibre",
    "gage": "gauge",
    "gray": "grey",
    "mold": "mould",
    "muffler": "silencer",
    "plow": "plough",
    "tire": "tyre",
    "vapor": "vapour",
    "vise": "vice",
}

_ENTRY = re.compile(r'^"(?P<name>[^"]+)" = \{ .+ \}$')
_PIECE = re.compile(r"[a-z0-9']+|[A-Z0-9]+'?s?")
_SAYABLE = re.compile(r"[A-Za-z0-9]+(?:[ '\-./&][A-Za-z0-9]+)*'?")


@dataclass(frozen=True)
class Pack:
    """One pack as text and, where it parses, as data. `lines` gives the line (from 1) each term stands on."""

    file: str
    text: str
    data: dict[str, Any]
    lines: dict[str, int]

    @property
    def terms(self) -> dict[str, dict[str, Any]]:
        return {name: entry for name, entry in self.data.get("terms", {}).items() if isinstance(entry, dict)}

    def at(self, name: str) -> str:
        return f"{self.file}:{self.lines.get(name, 0)}: {name!r}"


def open_pack(file: str, text: str) -> tuple[Pack, list[str]]:
    """A pack from its text; a fault and an empty pack where it is no TOML."""
    lines: dict[str, int] = {}
    for number, line in enumerate(text.splitlines(), 1):
        if entry := _ENTRY.match(line):
            lines.setdefault(entry["name"], number)
    try:
        return Pack(file, text, tomllib.loads(text), lines), []
    except tomllib.TOMLDecodeError as error:
        return Pack(file, text, {}, lines), [f"{file}: not valid TOML: {error}"]


def spellings(name: str, entry: Mapping[str, Any]) -> list[str]:
    """Every way a term is written, its name first. Values of the wrong type are left to `known_keys_only`."""
    also = entry.get("also", [])
    american = entry.get("us", "")
    listed = [name, american, *(also if isinstance(also, list) else [])]
    return [one for one in listed if isinstance(one, str) and one]


def run_together(spelling: str) -> str:
    return re.sub(r"[ '\-]", "", spelling.lower())


def has_source(pack: Pack) -> Iterator[str]:
    source = pack.data.get("source", "")
    if not isinstance(source, str) or len(source.split()) < 3:
        yield f'{pack.file}: no source; say where the list comes from in `source = "..."`'


def known_keys_only(pack: Pack) -> Iterator[str]:
    for key in sorted(set(pack.data) - TOP_KEYS):
        yield f"{pack.file}: unknown key {key!r}; there are: {', '.join(sorted(TOP_KEYS))}"
    for name, entry in pack.data.get("terms", {}).items():
        if not isinstance(entry, dict):
            yield f"{pack.at(name)} is not a table; write {name!r} = {{ part_of = ... }}"
            continue
        for key, value in entry.items():
            if key not in TERM_KEYS:
                yield f"{pack.at(name)} has unknown key {key!r}; there are: {', '.join(TERM_KEYS)}"
            elif not isinstance(value, TERM_KEYS[key]):
                yield f"{pack.at(name)}: {key} must be a {TERM_KEYS[key].__name__}"
            elif not value:
                yield f"{pack.at(name)}: {key} is empty; leave it out"
            elif isinstance(value, list) and not all(isinstance(one, str) for one in value):
                yield f"{pack.at(name)}: {key} must hold only strings"


def one_line_a_term(pack: Pack) -> Iterator[str]:
    inside = False
    seen: dict[str, int] = {}
    for number, line in enumerate(pack.text.splitlines(), 1):
        if line.startswith("["):
            inside = line == "[terms]"
            if not inside:
                yield f"{pack.file}:{number}: table {line}; every term is one line under [terms]"
        elif inside and line.strip() and not line.startswith("#"):
            entry = _ENTRY.match(line)
            if entry is None:
                yield f'{pack.file}:{number}: not of the form "name" = {{ key = value }}: {line.strip()[:60]}'
            elif entry["name"] in seen:
                yield f"{pack.file}:{number}: {entry['name']!r} is already on line {seen[entry['name']]}"
            else:
                seen[entry["name"]] = number


def sorted_by_name(pack: Pack) -> Iterator[str]:
    names = list(pack.terms)
    for before, after in pairwise(names):
        if before.lower() > after.lower():
            yield f"{pack.at(after)} must stand before {before!r}; terms are sorted by name"


def known_kinds_and_pairs(pack: Pack) -> Iterator[str]:
    default = pack.data.get("kind", "part")
    if default not in KINDS:
        yield f"{pack.file}: unknown kind {default!r}; there are: {', '.join(KINDS)}"
    for name, entry in pack.terms.items():
        if entry.get("kind", default) not in (*KINDS, default):
            yield f"{pack.at(name)} has unknown kind {entry['kind']!r}; there are: {', '.join(KINDS)}"
        if entry.get("pair", "sides") not in PAIRS:
            yield f"{pack.at(name)} has unknown pair {entry['pair']!r}; there are: {', '.join(PAIRS)}"


def sayable(pack: Pack) -> Iterator[str]:
    """Names of one to five words; lower case, except for abbreviations that are all capitals (UNF, U-bolt, ER)."""
    for name, entry in pack.terms.items():
        for spelling in spellings(name, entry):
            pieces = re.split(r"[ \-./&]", spelling)
            if not _SAYABLE.fullmatch(spelling):
                yield f"{pack.at(name)}: {spelling!r} is not words with single blanks or hyphens between"
            elif not all(_PIECE.fullmatch(piece) for piece in pieces):
                yield f"{pack.at(name)}: {spelling!r} must be lower case (abbreviations all capitals)"
            if len(spelling.split()) > MOST_WORDS:
                yield f"{pack.at(name)}: {spelling!r} has more than {MOST_WORDS} words"


def british_names(pack: Pack) -> Iterator[str]:
    for name in pack.terms:
        for word in re.split(r"[ \-]", name):
            if word in AMERICAN:
                yield f"{pack.at(name)}: {word!r} is American; name it {AMERICAN[word]!r} and put this in us"


def sane_plurals(pack: Pack) -> Iterator[str]:
    for name, entry in pack.terms.items():
        given, regular = entry.get("plural", ""), regular_plural(name)
        last = re.split(r"[ \-]", name)[-1]
        if given == regular:
            yield f"{pack.at(name)}: plural {given!r} is regular; leave it out"
        elif given and given[:1] != name[:1]:
            yield f"{pack.at(name)}: plural {given!r} is no form of it"
        elif not given and last in IRREGULAR:
            yield f"{pack.at(name)} needs its plural: {regular!r} is wrong"
        elif not given and last.endswith("s") and not last.endswith(("ss", "us", "is")) and last not in SINGULAR_S:
            yield f"{pack.at(name)} looks like a plural; give plural (the same word if it has no other)"


def own_spellings_differ(pack: Pack) -> Iterator[str]:
    for name, entry in pack.terms.items():
        said = [spelling.lower() for spelling in spellings(name, entry)]
        for spelling in sorted({one for one in said if said.count(one) > 1}):
            yield f"{pack.at(name)} gives {spelling!r} twice"


PACK_CHECKS: tuple[Callable[[Pack], Iterator[str]], ...] = (
    has_source,
    known_keys_only,
    one_line_a_term,
    sorted_by_name,
    known_kinds_and_pairs,
    sayable,
    british_names,
    sane_plurals,
    own_spellings_differ,
)


def assembly_exists(packs: list[Pack], assemblies: set[str]) -> Iterator[str]:
    for pack in packs:
        for name, entry in pack.terms.items():
            part_of = entry.get("part_of", pack.data.get("part_of", ""))
            if not part_of:
                yield f"{pack.at(name)} has no part_of"
            elif part_of not in assemblies:
                yield f"{pack.at(name)}: no assembly called {part_of!r}; there are: {', '.join(sorted(assemblies))}"


def one_meaning_each(packs: list[Pack]) -> Iterator[str]:
    """No name twice, no spelling that is another term's name, no spelling of two terms, in any two packs.

    Spellings are compared run together, as the corrector does: "lock nut" and "lock-nut" are one.
    """
    names: dict[str, str] = {}
    for pack in packs:
        for name in pack.terms:
            if run_together(name) in names:
                yield f"{pack.at(name)} is also in {names[run_together(name)]}"
            names.setdefault(run_together(name), pack.at(name))
    owners: dict[str, str] = {}
    for pack in packs:
        for name, entry in pack.terms.items():
            for joined, spelling in {run_together(one): one for one in spellings(name, entry)[1:]}.items():
                if joined in names and joined != run_together(name):
                    yield f"{pack.at(name)}: spelling {spelling!r} is a term of its own, {names[joined]}"
                elif joined in owners:
                    yield f"{pack.at(name)}: spelling {spelling!r} also belongs to {owners[joined]}"
                owners.setdefault(joined, pack.at(name))
            plural = run_together(entry.get("plural", regular_plural(name)))
            if plural in names and plural != run_together(name):
                yield f"{pack.at(name)}: its plural is a term of its own, {names[plural]}"


def faults(texts: Mapping[str, str], assemblies: set[str]) -> list[str]:
    """Every fault of every pack (file name -> text), none hidden by another."""
    packs: list[Pack] = []
    found: list[str] = []
    for file, text in texts.items():
        pack, broken = open_pack(file, text)
        packs.append(pack)
        found += broken
        for check in PACK_CHECKS if not broken else (one_line_a_term,):
            found += check(pack)
    found += assembly_exists(packs, assemblies)
    found += one_meaning_each(packs)
    return found
