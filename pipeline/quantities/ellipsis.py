"""Units said once for several figures: pairs of places, stages, threads."""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import replace

from pipeline.quantities.added_angles import before_more, turned_on
from pipeline.quantities.barred import barred
from pipeline.quantities.beside_microns import size_beside_microns
from pipeline.quantities.carried import OF_TYRES, carried, or_so_much, said_of_tyres
from pipeline.quantities.counts import labelled, read_count
from pipeline.quantities.grades import more_oil
from pipeline.quantities.lent import LEND_NONE, alike, may_lend, put_right
from pipeline.quantities.likened import is_pronoun, like, read_as_another
from pipeline.quantities.lists import list_before
from pipeline.quantities.one_of_them import one_of_them
from pipeline.quantities.pairs_of_places import placed
from pipeline.quantities.ratios import mix_before
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.spanners import bare_spanner
from pipeline.quantities.tolerances import nominal_of, tolerance_of
from pipeline.quantities.units import IGNORED
from pipeline.quantities.unsaid import unsaid_unit

_STAGE_WORDS = frozenset({"and", "then", "finally", "to"})
_NEAR = 14
_AND_AGAIN = frozenset(
    {"and", "or", "but", "then", "again", "at", "after", "about", "another", "every", "in", "it's", "only", "now"}
)
_MOST_LINKS = 4
# Threads to the inch.
_LEAST_PITCH, _MOST_PITCH = 8, 40


def share_units(scan: Scan, ruled: bool = True) -> list[Found]:
    """Figures for the bare numbers that take their unit from a neighbour; those numbers leave `scan.bare`."""
    by_rule = (_said_again, carried) if ruled else ()
    readers = (
        put_right,
        size_beside_microns,
        before_more,
        turned_on,
        mix_before,
        more_oil,
        tolerance_of,
        or_so_much,
        one_of_them,
        _same_again,
        nominal_of,
        _by,
        _stage_before,
        placed,
        _threaded,
        *by_rule,
    )
    shared: list[Found] = []
    figures = sorted(scan.found, key=lambda found: found.start)
    for found in figures:
        if found.kind not in LEND_NONE:
            shared.extend(list_before(scan, found))
    elsewhere = ends_of_none(figures)
    for _ in range(2):
        lenders = sorted([*figures, *shared], key=lambda found: found.start)
        for bare in list(scan.bare):
            corrects = scan.at(bare.start - 1) == "no" and put_right(scan, bare, lenders) is not None
            named = labelled(scan, bare) and not corrects
            if named or read_count(scan, bare, {}) is not None or is_pronoun(scan, bare):
                continue
            if bare_spanner(scan, bare) is not None:
                continue  # "with a three quarter wrench, and back it off a turn and a half"
            if goes_on_with_none(scan, bare, elsewhere) or (ruled and unsaid_unit(scan, bare)):
                continue
            readings = (read(scan, bare, lenders) for read in readers)
            partner = next((found for found in readings if found is not None), None)
            if partner is not None and partner.kind not in OF_TYRES and said_of_tyres(scan, bare):
                continue
            if partner is not None and partner.kind != "angle" and read_as_another(scan, bare, partner.kind):
                continue
            if partner is not None and may_lend(bare, partner) and not barred(scan, bare, partner, lenders):
                scan.bare.remove(bare)
                shared.append(like(scan, _without_one(scan, bare, partner), partner))
                lenders.append(shared[-1])
    return shared


def ends_of_none(figures: Iterable[Found]) -> frozenset[int]:
    """Where figures end that are none of the build."""
    return frozenset(found.end for found in figures if found.kind == IGNORED)


def goes_on_with_none(scan: Scan, bare: Bare, ends: Container[int]) -> bool:
    """ "at ten miles and again at fifty": more of what is no figure of the build; `ends` are where such figures end."""
    place = bare.start
    while bare.start - place < _MOST_LINKS and scan.at(place - 1) in _AND_AGAIN and place not in scan.sentences:
        place -= 1
    return place in ends and scan.at(place) in ("and", "or", "then", "but")


def _without_one(scan: Scan, bare: Bare, found: Found) -> Bare:
    """ "rear tyre thirty-two, front one twenty-six": the one in front, and no hundred and twenty-six."""
    named = scan.at(bare.start) == "one" and scan.at(bare.start - 1) in cue_words("places") and bare.high is None
    rest = bare.value - 100
    split = named and 10 <= rest < 100 and scan.joined(bare.start) and not alike(bare.value, found, 2)
    return replace(bare, value=rest, start=bare.start + 1) if split and alike(rest, found, 2) else bare


def _by(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """ "a split pin, three mil by twenty five": the second of two measures of one thing."""
    if scan.at(bare.start - 1) not in ("by", "x"):
        return None
    return next((found for found in lenders if found.kind == "length" and follows_by(scan, bare, found)), None)


def follows_by(scan: Scan, bare: Bare, found: Found) -> bool:
    """Whether a number is the next measure behind "by", and no pitch: "half inch by twenty" is a thread."""
    if scan.at(bare.start - 1) not in ("by", "x") or scan.breaks & {bare.start, bare.start - 1}:
        return False
    pitch = found.unit == "in" and bare.value.denominator == 1 and _LEAST_PITCH <= bare.value <= _MOST_PITCH
    return found.end == bare.start - 1 and not pitch


def _same_again(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """ "twelve pounds, and ten minutes later it's still on twelve": the same figure once more."""
    if not {*scan.words[max(0, bare.start - 3) : bare.start]} & {"still", "again"} or bare.start in scan.breaks:
        return None
    closes = bare.end in scan.breaks or scan.at(bare.end) in cue_words("after_figure")
    before = [found for found in lenders if 0 <= bare.start - found.end <= 2 * _NEAR and found.kind not in LEND_NONE]
    same = [found for found in before if found.value == bare.value * found.times and found.high == bare.high]
    return same[-1] if same and closes else None


def _stage_before(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """ "ten newton metres, then twenty, then thirty": the figure before this one, joined by "then"."""
    link = bare.start
    while link > 0 and scan.words[link - 1] in _STAGE_WORDS and link not in scan.sentences:
        link -= 1
    if "then" not in scan.words[link : bare.start]:
        return None
    following = scan.at(bare.end) if bare.end not in scan.breaks else ""
    if following not in ("", "and", "then", "finally", "on", "for", "in", "to"):
        return None
    found = next((item for item in lenders if item.end == link and item.kind not in LEND_NONE), None)
    return found if found is not None and alike(bare.value, found) else None


def _threaded(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """ "the M6 ones get ten newton metres, the M8 ones get twenty five": a second thread with its torque."""
    link = bare.start
    while link > 0 and scan.words[link - 1] in cue_words("after_thread") and link not in scan.sentences:
        link -= 1
    thread = next((item for item in lenders if item.kind == "thread" and item.end == link), None)
    following = scan.at(bare.end) if bare.end not in scan.breaks else ""
    if thread is None or link == bare.start or following not in ("", "and", "the", "then"):
        return None
    before = [item for item in lenders if item.kind == "torque" and 0 <= thread.start - item.end <= _NEAR]
    return before[-1] if before and alike(bare.value, before[-1]) else None


def _said_again(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """ "It holds 900 millilitres and took eight hundred", "now I've got that down to one and a half"."""
    before = scan.words[max(0, bare.start - 3) : bare.start]
    following = scan.at(bare.end) if bare.end not in scan.breaks else ""
    if bare.start in scan.breaks or not before or following not in cue_words("after_figure"):
        return None
    if following == "" and (before[-1] in ("is", "are", "it's", "they're", "was", "were") or _is_short(before[-1])):
        led = True
    elif before[-1] == "to":
        fastened = following == "" and before[-2:-1] and before[-2] in cue_words("fastener_nouns")
        led = bool(fastened) or any(word in cue_words("set_to") for word in before[:-1])
    else:
        led = before[-1] in cue_words("holds") and bare.value > 12
    if not led:
        return None
    near = [
        found
        for found in lenders
        if 0 <= bare.start - found.end <= 3 * _NEAR
        and found.kind not in LEND_NONE | {"spanner", "viscosity"}
        and alike(bare.value, found, 5)
    ]
    return near[-1] if near else None


def _is_short(word: str) -> bool:
    """ "the hub nut's", as against "there's"."""
    return word.endswith("'s") and word not in (
        "that's",
        "there's",
        "here's",
        "what's",
        "where's",
        "let's",
        "he's",
        "she's",
    )
