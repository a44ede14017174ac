"""Bicycle chains and the cogs they run on: "an eleven thirty four", "the chain's at point seven five"."""

from __future__ import annotations

from fractions import Fraction

from pipeline.quantities.scan import Bare, Found, Scan

_CASSETTES = frozenset({"cassette", "cassettes", "freewheel", "freewheels"})
_SMALLEST, _LARGEST = range(9, 17), range(21, 53)

# Percent that a chain is longer than new, as its gauge has them.
_WORN = (Fraction(1, 4), Fraction(3, 2))
_CHAINED = frozenset({"chain", "gearing", "sprocket", "sprockets", "geared", "chainring"})
_LEAST_TEETH, _MOST_TEETH = 8, 130
_NO_WEAR = frozenset({"tensioner", "saw", "pitch", "mil", "gap", "slack"})
_GAUGES, _GAUGE_WITHIN = frozenset({"gauge", "checker"}), 4
_WEAR = frozenset({"worn", "wear", "stretched", "stretch", "checker", "gone", "due", "cassette", "gauge"})


def of_a_chain(scan: Scan, bare: Bare) -> Found | None:
    """ "the chain's at point seven five so it's due", "chain wear gauge, 0.75": percent of wear."""
    decimal = bare.shape == "decimal" and bare.high is None and _WORN[0] <= bare.value <= _WORN[1]
    if not decimal:
        return None
    led = scan.at(bare.start - 1) in ("at", "to", "past", "reads", "is", "says", "over")
    if not led and not _GAUGES & {*scan.plain[max(0, bare.start - _GAUGE_WITHIN) : bare.start]}:
        return None
    talk = {*scan.plain[slice(*scan.with_sentence_before(bare.start))]}
    if not talk & {"chain", "chains"} or not talk & _WEAR or talk & _NO_WEAR:
        return None
    return scan.figure_of(bare, "percentage", "", "the wear of a chain; taken as percent")


def of_a_gear(scan: Scan, bare: Bare) -> Found | None:
    """ "the chain's forty two on sixteen", "change wheels, a twenty driving a sixty five": teeth."""
    if bare.high is not None or bare.value.denominator != 1 or not _LEAST_TEETH <= bare.value <= _MOST_TEETH:
        return None
    talk = {*scan.plain[slice(*scan.with_sentence_before(bare.start))]}
    numbers: list[Bare | Found] = [*scan.bare, *scan.found]
    smaller = {item.start for item in numbers if _LEAST_TEETH <= item.value < bare.value}
    larger = {item.end for item in numbers if bare.value < item.value <= _MOST_TEETH}
    on = scan.at(bare.end) == "on" and bare.end + 1 in smaller
    under = scan.at(bare.start - 1) == "on" and bare.start - 1 in larger
    driven = "change" in talk and talk & {"wheels", "gears"} and scan.at(bare.start - 1) in ("a", "an")
    if not (talk & _CHAINED and (on or under)) and not driven:
        return None
    return scan.figure_of(bare, "teeth", "", "a gear or sprocket; taken as teeth")


def read_cogs(scan: Scan) -> tuple[list[Bare], list[Found]]:
    """The numbers that are no such pair, and two counts of teeth for each that is one."""
    left, cogs = [], []
    for bare in scan.bare:
        small, large = divmod(int(bare.value), 100)
        pair = bare.shape == "joined" and bare.spoken and small in _SMALLEST and large in _LARGEST
        if not pair or not scan.sentence_words(bare.start) & _CASSETTES:
            left.append(bare)
            continue
        ends = ((small, bare.start, bare.start + 1), (large, bare.start + 1, bare.end))
        why = "the smallest and the largest cog of a cassette"
        cogs += [Found("teeth", Fraction(teeth), None, "", start, end, start, why=why) for teeth, start, end in ends]
    return left, cogs
