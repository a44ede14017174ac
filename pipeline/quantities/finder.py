"""Finds every figure in a stretch of speech: the one pass from tokens to quantities."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.numbers.words import NUMBER_WORDS, ONES, POINTS, TENS, ZEROS, word_set
from pipeline.quantities import lengths
from pipeline.quantities.bolt_sizes import with_threads
from pipeline.quantities.cogs import read_cogs
from pipeline.quantities.counted_sizes import split_sizes
from pipeline.quantities.counts import is_plural, labelled, read_count
from pipeline.quantities.declared_units import declared_units
from pipeline.quantities.denied import without_denied
from pipeline.quantities.ellipsis import share_units
from pipeline.quantities.feelers import with_feelers
from pipeline.quantities.gap_sizes import with_gaps
from pipeline.quantities.grades import read_grade
from pipeline.quantities.homophones import HOMOPHONES, read_homophone
from pipeline.quantities.later_units import with_later_units
from pipeline.quantities.lengths import Judge, mark_lengths
from pipeline.quantities.limits import with_open_limits
from pipeline.quantities.measures import read_measure
from pipeline.quantities.no_figures import without_others
from pipeline.quantities.of_engines import of_engines, revs_on_the_tach
from pipeline.quantities.other_numbers import is_ordinal, loads
from pipeline.quantities.pairs_of_places import tyre_pair
from pipeline.quantities.part_codes import in_part_number
from pipeline.quantities.plural_sizes import SIZES, read_plural_size
from pipeline.quantities.pointless import with_points
from pipeline.quantities.ranges import join_ranges
from pipeline.quantities.read_kinds import KindReader, ReadKinds
from pipeline.quantities.repairs import and_a_half, and_hundredths, drop_taken_back, of_the_clock
from pipeline.quantities.said_wrong import without_wrong
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.scanning import scan_tokens
from pipeline.quantities.screw_sizes import read_screw_size, screw_sizes
from pipeline.quantities.so_many import without_counts
from pipeline.quantities.spanner_lists import either_spanner, spanner_lists, split_count
from pipeline.quantities.spanners import (
    as_spanner,
    bare_spanner,
    read_flats,
)
from pipeline.quantities.tapped import as_tapped
from pipeline.quantities.threads import read_thread
from pipeline.quantities.tolerances import signed_ranges
from pipeline.quantities.unitless import Choose, by_weights, give_units
from pipeline.quantities.units import IGNORED, to_si, unit_named
from pipeline.quantities.unsaid import unsaid_unit
from pipeline.records import Quantity, Settings, Token

_STARTS = (
    NUMBER_WORDS
    | POINTS
    | word_set("a an another every half quarter couple between from minus negative")
    | word_set("turn litre pint inch thou eighth sixteenth comma")
    | word_set("m em metric sae s straight ep e monograde hypoid hypoy p")
)


_MIXTURE = word_set("mixture idle pilot air")
# "three-eighths of drop"
_SO_MUCH = word_set(
    "drop lift travel wear thread movement meat tread lip stroke sag wobble bend bow runout run-out twist taper give "
    "dish crush toe interference deflection offset engagement"
)


def find_quantities(
    tokens: Sequence[Token],
    settings: Settings,
    choose: Choose = by_weights,
    judge: Judge = lengths.by_weights,
    ruled: bool = True,
    reader: KindReader | None = None,
) -> list[Quantity]:
    """Every figure of the build in the tokens, in order, with ids q1, q2, ...

    Nothing is taken from the sound and nothing is corrected; a figure whose unit was not declared (pint, gallon,
    fluid ounce) has no SI value. `reader` tells what a number may be: the shipped network where none is given.
    """
    scan = scan_tokens(tokens, settings)
    scan.kinds = ReadKinds([token.text for token in tokens], reader)
    _read_all(scan)
    scan.found = signed_ranges(scan, scan.found)
    scan.bare = [bare for bare in scan.bare if not (in_part_number(scan, bare) or is_ordinal(scan, bare))]
    screw_sizes(scan)
    loads(scan)
    revs_on_the_tach(scan)
    without_others(scan)
    without_counts(scan)
    split_sizes(scan)
    without_denied(scan)
    scan.declared = declared_units(scan)
    scan.found.extend(with_points(scan))
    scan.found.extend(with_later_units(scan))
    scan.found.extend(share_units(scan, ruled))
    left = _bare_numbers(scan, ruled)
    scan.found.extend(give_units(scan, left, choose))
    figures = sorted(scan.found, key=lambda found: (found.start, found.end))
    figures = without_wrong(scan, drop_taken_back(scan, join_ranges(scan, figures)))
    figures = mark_lengths(scan, figures, judge)
    figures = with_feelers(scan, with_gaps(scan, with_threads(scan, of_engines(scan, figures))))
    figures = with_open_limits(scan, figures)
    return [_quantity(scan, tokens, found, f"q{place}") for place, found in enumerate(figures, 1)]


def figure_places(tokens: Sequence[Token], settings: Settings) -> list[tuple[int, int]]:
    """Half-open indexes of the tokens of each number, with its unit where one is said; a quick look, not a verdict."""
    return [(start, end) for start, end, _ in figure_numbers(tokens, settings)]


def figure_numbers(tokens: Sequence[Token], settings: Settings) -> list[tuple[int, int, Found | Bare]]:
    """The same places in order, each with the number as it was read."""
    scan = scan_tokens(tokens, settings)
    _read_all(scan)
    parts: list[Found | Bare] = sorted([*scan.found, *scan.bare], key=lambda item: item.start)
    return [(scan.pieces[item.start].token, scan.pieces[item.end - 1].token + 1, item) for item in parts]


def _read_all(scan: Scan) -> None:
    index = 0
    while index < len(scan.words):
        word = scan.words[index]
        if word in HOMOPHONES and (misheard := read_homophone(scan, index)) is not None:
            scan.found.append(misheard)
            index = misheard.end
            continue
        if (screw := read_screw_size(scan, index)) is not None:
            scan.found.extend(screw)
            index = screw[-1].end
            continue
        # "four eights" are no four eighths
        at_size = index + 1 if scan.at(index + 1) == "eights" and ONES.get(word, 1) % 2 == 0 else index
        if (scan.at(at_size) in SIZES or word in TENS) and (sizes := read_plural_size(scan, at_size)) is not None:
            scan.found.extend(sizes)
            index = sizes[-1].end
            continue
        if word not in _STARTS and not word[0].isdigit() and word[0] != "." and word[0] not in "½¼¾⅓⅔⅛⅜⅝⅞":
            index += 1
            continue
        if scan.in_code(index):
            index += 1
            continue
        found = read_thread(scan, index) or read_grade(scan, index) or read_flats(scan, index)
        if found is None:
            measure = read_measure(scan, index)
            if isinstance(measure, Bare):
                scan.bare.append(measure)
                index = measure.end
                continue
            found = [measure] if measure is not None else []
        if not found:
            index += 1
            continue
        for item in found:
            item = of_the_clock(scan, and_hundredths(scan, item))
            if item.kind != IGNORED:
                sized = as_tapped(scan, as_spanner(scan, and_a_half(scan, item)))
                item = (
                    replace(sized, why=f"{item.why}, {sized.why}") if item.heard and sized.kind != item.kind else sized
                )
            scan.found.extend(_counted_size(scan, item) or [scan.hedged(item)])
        index = max(index + 1, scan.found[-1].end)


def _counted_size(scan: Scan, found: Found) -> list[Found] | None:
    """ "two ten mil spanners" is no spanner of 210 mm."""
    if found.unit != "mm" or found.value < 100 or found.high is not None or found.value.denominator != 1:
        return None
    if scan.at(found.head) not in ONES or scan.at(found.head + 1) in ("hundred", *ZEROS):
        return None
    split = split_count(found.value)
    if split is None or not (found.kind == "spanner" or is_plural(scan.at(found.end))):
        return None
    count, size = split
    scan.bare.append(Bare(count, None, found.start, found.start + 1, True, "whole"))
    return [replace(found, value=size, start=found.start + 1, head=found.start + 1)]


def _bare_numbers(scan: Scan, ruled: bool) -> list[Bare]:
    """What numbers without a unit turn out to be: spanner sizes, tyre pressures, counts; the others are given back."""
    left: list[Bare] = []
    scan.bare, cogs = read_cogs(scan)
    scan.found.extend(cogs)
    for bare in [part for item in scan.bare for part in either_spanner(scan, item)]:
        found = (
            bare_spanner(scan, bare)
            or tyre_pair(scan, bare)
            or _bare_sixteenths(scan, bare)
            or (unsaid_unit(scan, bare) if ruled else None)
        )
        if found is None:
            left.append(bare)
        else:
            scan.found.append(found)
    scan.found = spanner_lists(scan, scan.found, left)
    taken = {found.start: found.end for found in scan.found}
    unnamed = []
    for bare in left:
        found = read_count(scan, bare, taken)
        if found is not None:
            scan.found.append(scan.hedged(found))
        else:
            unnamed.append(bare)
    return unnamed


def _bare_sixteenths(scan: Scan, bare: Bare) -> Found | None:
    """ "a new one, five sixteenths", "another sixteenth": eighths and what is made of them are of an inch."""
    turned = scan.sentence_words(bare.start) & {"turn", "turns"}
    many = bare.value.numerator > 1
    out = scan.at(bare.start - 1) == "out" and bool({"screw", "screws"} & scan.sentence_words(bare.start))
    if (turned or out) and bare.value.denominator == 8 and _MIXTURE & scan.sentence_words(bare.start):
        return None  # "one and a quarter turns on the top carb and one and three eighths on the bottom"
    parts = bare.value.denominator in (8, 16, 32, 64) and (many or (bare.value.denominator > 8 and not turned))
    if bare.shape not in ("fraction", "mixed") or not parts or bare.high is not None or labelled(scan, bare):
        return None
    slack = scan.at(bare.end) == "of" and {*scan.words[bare.end + 1 : bare.end + 3]} & (
        cue_words("clearance_said") | _SO_MUCH
    )
    if scan.at(bare.end) in cue_words("drive_words") | {"of"} and not slack:
        return None
    why = "no unit was said; such fractions are of an inch"
    found = Found("length", bare.value, None, "in", bare.start, bare.end, bare.start, why=why)
    return scan.hedged(as_tapped(scan, as_spanner(scan, found)))


def _quantity(scan: Scan, tokens: Sequence[Token], found: Found, qty_id: str) -> Quantity:
    first, last = scan.pieces[found.start].token, scan.pieces[found.end - 1].token
    if found.kind in ("length", "clearance"):  # "minus thirteen micron" is a tolerance of that size
        found = replace(found, value=abs(found.value), high=None if found.high is None else abs(found.high))
    si = si_high = None
    if found.unit and found.declared and not found.rivals:
        si = to_si(found.value, found.unit)
        si_high = to_si(found.high, found.unit) if found.high is not None else None
    return Quantity(
        id=qty_id,
        kind=found.kind,
        value=float(found.value),
        high=None if found.high is None else float(found.high),
        unit=found.unit,
        approximate=found.approximate,
        said=" ".join(token.text for token in tokens[first : last + 1]),
        start_word=tokens[first].start_word,
        end_word=tokens[last].end_word,
        start_ms=tokens[first].start_ms,
        bound=found.bound,
        thread=found.thread,
        other_readings=tuple(float(rival) for rival in found.rivals),
        si_value=None if si is None else float(si),
        si_high=None if si_high is None or found.kind == "viscosity" else float(si_high),
        si_unit=unit_named(found.unit).si if si is not None else "",
        why=found.why,
        unit_heard=found.heard,
        unit_sure=found.sure,
    )
