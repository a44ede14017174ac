"""Numbers whose unit nobody says: "the book gives 140 to 180", "and the preload cap only one", "gap's five at the top".

Figures nearby lend their unit, and what is talked of asks for one; or the number is no figure of the build. Evidence
is named here; weights learned by `tools/fit_figures.py` choose.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import log2

from pipeline.numbers.words import word_set
from pipeline.quantities.counts import is_plural, labelled, not_between
from pipeline.quantities.heard_units import kind_asks
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.units import IGNORED, unit_table
from pipeline.quantities.weights import figure_weights, worth

_BACK, _ON = 90, 24
_NO_LENDERS = frozenset({"count", "thread", "ratio", IGNORED})
# Kind -> unit where nobody says it, as a rule and to an American, and what is usual at the bench.
_DEFAULTS: dict[str, tuple[str, str, float, float]] = {
    "torque": ("N·m", "lbf·ft", 2, 250),
    "temperature": ("°C", "°F", 30, 350),
    "pressure": ("psi", "psi", 3, 220),
    "length": ("mm", "in", 0.05, 300),
    "volume": ("mL", "mL", 30, 1500),
    "voltage": ("V", "V", 1, 260),
    "current": ("A", "A", 1, 100),
    "resistance": ("Ω", "Ω", 0.2, 20000),
    "speed": ("rpm", "rpm", 300, 12000),
    "spanner": ("mm", "in", 5, 36),
    "viscosity": ("SAE", "SAE", 5, 250),
    "grit": ("", "", 40, 3000),
    "teeth": ("", "", 9, 130),
}
_GRITS = frozenset(
    {40, 60, 80, 100, 120, 150, 180, 220, 240, 280, 320, 360, 400, 500, 600, 800, 1000, 1200, 1500, 2000}
)
_BEFORE = word_set(
    "to at is was are were be been it's that's they're says said read reads under over below above than about around "
    "only wants nearly just minimum maximum limit took takes showing shows measured till until by with on maybe say "
    "now then got gets get reading or and a an the of in for from used use put all those these both other this every "
    "each last first another them number no i you we it he she cut down up out between past half point"
)
_AFTER = word_set(
    "of times way ways thing things people piece side sides and or so but then because for in on at to the a is was "
    "now each all again it it's that's i you we out off more less which if when thick minimum max maximum limit front "
    "back top bottom rear left right inlet exhaust cold hot wide deep long one ones with without years o'clock paper "
    "wet here there dead new old"
)
_STEPS = (1, 2, 3, 5, 8, 12, 18, 26, 40, 60)


@dataclass(frozen=True, slots=True)
class Option:
    """What a bare number may be: of a kind, in a unit, `times` its value; lent by a figure or asked for by a word."""

    kind: str
    unit: str
    times: Fraction
    lender: Found | None
    evidence: tuple[str, ...]


# Given the evidence for "no figure" and for each option: the index of the option, -1 for none.
Choose = Callable[[Scan, Bare, Sequence[str], Sequence[Option]], int]


def by_weights(scan: Scan, bare: Bare, none: Sequence[str], options: Sequence[Option]) -> int:
    """The option with the heaviest evidence, if it outweighs that of "no figure"."""
    del scan, bare
    weights = figure_weights()["unit"]
    best, most = -1, worth(none, weights)
    for place, option in enumerate(options):
        weight = worth(option.evidence, weights)
        if weight > most:
            best, most = place, weight
    return best


def give_units(scan: Scan, bares: Sequence[Bare], choose: Choose) -> list[Found]:
    """Figures for those bare numbers that are some, in order; one that got its unit lends it on."""
    lenders = sorted(scan.found, key=lambda found: found.start)
    given: list[Found] = []
    for bare in sorted(bares, key=lambda item: item.start):
        halved = bare.end == bare.start + 1 and scan.at(bare.start) in ("half", "quarter")
        if halved or labelled(scan, bare) or bare.value < 0:
            continue
        options = _options(scan, bare, lenders)
        if not options:
            continue
        chosen = choose(scan, bare, _for_none(scan, bare, lenders), options)
        if chosen >= 0:
            found = _found(scan, bare, options[chosen])
            given.append(found)
            lenders.insert(bisect_right([item.start for item in lenders], found.start), found)
    return given


def _found(scan: Scan, bare: Bare, option: Option) -> Found:
    why = f"no unit was said; by the words around it taken as {option.unit or option.kind}"
    if option.lender is not None:
        why = f"takes its unit from {' '.join(scan.words[option.lender.start : option.lender.end])!r}"
    high = None if bare.high is None else bare.high * option.times
    value = bare.value * option.times
    figure = Found(option.kind, value, high, option.unit, bare.start, bare.end, bare.start, times=option.times, why=why)
    return scan.hedged(figure)


def _options(scan: Scan, bare: Bare, lenders: Sequence[Found]) -> list[Option]:
    """Units of figures before and behind, the nearest of each, and those that words nearby ask for."""
    options: dict[tuple[str, str], Option] = {}
    before = [found for found in lenders if 0 <= bare.start - found.end <= _BACK and found.kind not in _NO_LENDERS]
    behind = [found for found in lenders if 0 <= found.start - bare.end <= _ON and found.kind not in _NO_LENDERS]
    for rank, found in enumerate(reversed(before)):
        key = found.kind.replace("clearance", "length"), found.unit
        if key not in options and _as_large(bare, found):
            names = (*_lent(scan, bare, found, "before", rank), f"lender before {min(rank, 3)}")
            options[key] = Option(*key, found.times, found, names)
    for rank, found in enumerate(behind):
        key = found.kind.replace("clearance", "length"), found.unit
        if key not in options and _as_large(bare, found):
            names = (*_lent(scan, bare, found, "behind", rank), f"lender behind {min(rank, 3)}")
            options[key] = Option(*key, found.times, found, names)
    american = scan.settings.units == "us"
    for kind, (unit, american_unit, _, _) in _DEFAULTS.items():
        default = american_unit if american else unit
        if kind in ("length", "spanner"):
            default = "in" if bare.shape in ("fraction", "mixed") and bare.value.denominator in (4, 8, 16, 32) else unit
        if (kind, default) not in options and any(name == kind for name, _ in options):
            continue
        names = tuple(_asked(scan, bare, kind))
        if (kind, default) in options:
            continue
        if names and _possible(bare, kind):
            options[kind, default] = Option(kind, default, Fraction(1), None, (*names, *_usual(bare, kind, "asked")))
    return [
        option
        if option.lender is None
        else Option(
            option.kind, option.unit, option.times, option.lender,
            (*option.evidence, *_asked(scan, bare, option.kind), *_usual(bare, option.kind, "lent")),
        )
        for option in options.values()
    ]  # fmt: skip


def _as_large(bare: Bare, found: Found) -> bool:
    """Whether a number can be a jaw, a gear or a grade where such a figure would lend its unit."""
    if found.kind == "spanner":
        return bare.high is None and 3 <= bare.value <= 65 if found.unit == "mm" else bare.value < 3
    if found.kind == "teeth":
        return bare.high is None and bare.value.denominator == 1 and bare.value >= 5
    return bare.value in _GRITS if found.kind == "grit" else True


def _possible(bare: Bare, kind: str) -> bool:
    """Whether a number can be such a figure at all where only the talk says so."""
    _, _, low, high = _DEFAULTS[kind]
    if kind == "grit":
        return bare.value in _GRITS
    if kind in ("teeth", "spanner") and bare.high is not None:
        return False
    if kind == "teeth" and bare.value.denominator != 1:
        return False
    return low / 3 <= (bare.value * 25 if kind in ("spanner", "length") and bare.value < 1 else bare.value) <= high * 3


def _lent(scan: Scan, bare: Bare, found: Found, side: str, passed: int) -> Iterator[str]:
    yield f"lent {side}"
    yield f"lent {found.kind}"
    gap = bare.start - found.end if side == "before" else found.start - bare.end
    yield f"lent {side} {_step(gap)}"
    first, last = (found.end, bare.start) if side == "before" else (bare.end, found.start)
    stops = sum(place in scan.breaks for place in range(first, last + 1))
    apart = bisect_right(scan.sentences, last) - bisect_right(scan.sentences, first - 1)
    yield f"lent {side} {min(apart, 3)} sentences"
    if not stops:
        yield f"lent {side} without a stop"
    yield f"lent past {min(passed, 3)}"
    value = bare.value * found.times
    if value > 0 and found.value > 0:
        away = abs(log2(float(value / found.value)))
        yield f"lent times {next((bound for bound in (0.3, 0.7, 1.2, 2, 3, 4) if away <= bound), 9)}"
        yield f"lent {'same sentence' if not apart else 'apart'} times {'near' if away <= 1.2 else 'far'}"
    if (bare.value.denominator == 1) == ((found.value / found.times).denominator == 1):
        yield "lent as exact"
    if bare.spoken == (not scan.pieces[found.head].text[0].isdigit()):
        yield "lent as written"
    if scan.at(bare.start - 1) == scan.at(found.head - 1) and scan.at(bare.start - 1) in _BEFORE:
        yield "lent behind the same word"


def _asked(scan: Scan, bare: Bare, kind: str) -> Iterator[str]:
    """How near the nearest word stands that asks for such a figure, in the sentence or the one before."""
    asks = _asks(kind)
    own = scan.sentence(bare.start)
    gaps = [
        (bare.start - place if place < bare.start else place - bare.end + 1, place < bare.start)
        for place in range(*own)
        if scan.plain[place] in asks and not bare.start <= place < bare.end
    ]
    if gaps:
        gap, before = min(gaps)
        yield f"asked {'before' if before else 'behind'} {_step(gap)}"
        yield f"{kind} asked"
        return
    wide = scan.with_sentence_before(bare.start)
    if any(scan.plain[place] in asks for place in range(wide[0], own[0])):
        yield "asked in the sentence before"
        yield f"{kind} asked before"


@cache
def _asks(kind: str) -> frozenset[str]:
    if kind in ("grit", "spanner", "teeth"):
        return cue_words(f"{kind}_asked")
    return kind_asks(kind) | (kind_asks("clearance") if kind == "length" else frozenset())


def _usual(bare: Bare, kind: str, how: str) -> Iterator[str]:
    yield f"{how} {kind}"
    if kind not in _DEFAULTS:
        return
    _, _, low, high = _DEFAULTS[kind]
    usual = low <= bare.value <= high
    if kind == "grit":
        usual = bare.value in _GRITS
    if kind in ("spanner", "teeth", "grit") and bare.value.denominator != 1:
        usual = False
    yield f"{how} {kind} {'usual' if usual else 'odd'}"
    if bare.value.denominator != 1:
        yield f"{how} {kind} with a part"


def _for_none(scan: Scan, bare: Bare, lenders: Sequence[Found]) -> list[str]:
    """What says that a number is no figure of the build, or that it is one whatever its unit."""
    before = scan.at(bare.start - 1) if bare.start not in scan.breaks else ""
    after = scan.at(bare.end) if bare.end not in scan.breaks else ""
    whole = bare.value.denominator == 1
    names = ["none", f"none, {bare.shape}", "none, spoken" if bare.spoken else "none, written"]
    size = "part" if not whole else next((str(most) for most in (1, 4, 12, 30, 100, 999) if bare.value <= most), "more")
    names.append(f"none, {size}")
    if before in _BEFORE:
        names.append(f"none behind {before}")
    elif not before:
        names.append("none behind a stop")
    elif before.endswith("'s"):
        names.append("none behind 's")
    elif is_plural(before):
        names.append("none behind a plural")
    else:
        names.append("none behind a word")
    if after in _AFTER:
        names.append(f"none before {after}")
    elif not after:
        names.append("none before a stop")
        names.append(f"none before a stop, {size}")
    elif is_plural(after):
        names.append("none before a plural")
    elif after.endswith("s") and after not in not_between():
        names.append("none before a word in s")
    elif after in unit_table().aliases:
        names.append("none before a unit")
    else:
        names.append("none before a word")
    if bare.high is not None:
        names.append("none, a range")
    if whole and 1900 <= bare.value <= 2060:
        names.append("none, a year")
    raw = scan.pieces[bare.start - 1].raw if bare.start else ""
    if raw[:1].isupper() and bare.start - 1 not in scan.sentences and bare.start > 1:
        names.append("none behind a name")
    if not any(0 <= bare.start - found.end <= _BACK for found in lenders):
        names.append("none, first figure")
    return names


def _step(gap: int) -> int:
    return next((bound for bound in _STEPS if gap <= bound), 99)
