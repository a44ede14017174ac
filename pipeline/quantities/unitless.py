"""Numbers whose unit nobody says: "the book gives 140 to 180", "and the preload cap only one", "gap's five at the top".

Figures nearby lend their unit, and what is talked of asks for one; or the number is no figure of the build. What
speaks for each is named in `unit_evidence.py`; weights learned by `tools/fit_figures.py` choose.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import zip_longest

from pipeline.quantities.barred import asks_for_another, barred, is_an_area, may_be_torque
from pipeline.quantities.carried import OF_TYRES, said_of_tyres
from pipeline.quantities.counts import labelled
from pipeline.quantities.ellipsis import ends_of_none, follows_by, goes_on_with_none
from pipeline.quantities.lent import LEND_NONE, lent_unit, may_lend, put_right
from pipeline.quantities.likened import like, one_of_two
from pipeline.quantities.ratios import quotient_of
from pipeline.quantities.reasons import lent_by, said_for_all
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.talk import words_beside
from pipeline.quantities.tolerances import tolerance_of
from pipeline.quantities.unit_evidence import REACH_BACK, asked, for_none, inch_talk, lent, offered
from pipeline.quantities.usual_units import (
    DEFAULTS,
    as_large,
    default_unit,
    few_inches,
    in_thousandths,
    possible,
    usual,
)
from pipeline.quantities.weights import heaviest

_ON = 24
# A size with three decimals from so many on is in millimetres to a Briton who speaks of no inches.
_MOST_INCHES = 10
_OTHER_WITHIN = 14
_TOOLS = frozenset({"spanner", "spanners", "wrench", "socket", "sockets", "allen", "hex", "key", "ring"})
_SAYS_NOTHING = frozenset({"it's", "its", "it", "is", "by", "that's"})
_ORDINALS = frozenset({"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth"})
# Below so many, with tenths and beside a hundred millilitres or more, a number is of litres.
_MOST_LITRES = 10


@dataclass(frozen=True, slots=True)
class Option:
    """What a bare number may be: of a kind, in a unit, `times` its value; lent by a figure or asked for by a word.

    `bare` is the number itself, or with the next one as its tenths: "twelve nine".
    """

    kind: str
    unit: str
    times: Fraction
    lender: Found | None
    evidence: tuple[str, ...]
    bare: Bare

    @property
    def value(self) -> Fraction:
        """The figure's value in the unit."""
        return self.bare.value * self.times


# Given the evidence for "no figure" and for each option: the index of the option, -1 for none.
Choose = Callable[[Scan, Bare, Sequence[str], Sequence[Option]], int]


def by_weights(scan: Scan, bare: Bare, none: Sequence[str], options: Sequence[Option]) -> int:
    """The option with the heaviest evidence, if it outweighs that of "no figure"."""
    del scan, bare
    return heaviest((none, *(option.evidence for option in options)), "unit") - 1


def give_units(scan: Scan, bares: Sequence[Bare], choose: Choose) -> list[Found]:
    """Figures for those bare numbers that are some, in order; one that got its unit lends it on."""
    lenders = sorted(scan.found, key=lambda found: found.start)
    elsewhere = ends_of_none(lenders)
    said: dict[str, Found] = {}
    told = iter(lenders.copy())
    following = next(told, None)
    given: list[Found] = []
    in_order = sorted(bares, key=lambda item: item.start)
    numbers = {at for bare in in_order for at in range(bare.start, bare.end)}
    spoken = {at for at, word in enumerate(scan.words) if at not in numbers and word not in _SAYS_NOTHING}
    for bare, after in zip_longest(in_order, in_order[1:]):
        if given and given[-1].end > bare.start:
            continue
        halved = bare.end == bare.start + 1 and scan.at(bare.start) in ("half", "quarter")
        if bare.value % 10 == 0 and scan.at(bare.end) in _ORDINALS and bare.end not in scan.breaks:
            # "the twenty first"
            continue
        torx = "torx" in scan.sentence_words(bare.start)
        sized = scan.at(bare.start - 1) == "size" and not torx
        alone = not spoken  # nothing tells what a lone number is
        if (
            halved
            or _stands_for_a_noun(scan, bare, lenders)
            or (labelled(scan, bare) and not sized)
            or bare.value < 0
            or alone
        ):
            continue
        while following is not None and following.start < bare.start:
            said[following.kind] = following
            following = next(told, None)
        if (not bare.value and bare.high is None) or is_an_area(scan, bare):
            continue  # "and that's zero"
        if bare.value == 1 and following is not None and following.head == bare.end:
            continue  # "one two and a half mil spacer"
        if (quotient := quotient_of(bare, lenders)) is not None:
            given.append(quotient)
            continue
        if goes_on_with_none(scan, bare, elsewhere):
            continue
        if (nominal := tolerance_of(scan, bare, lenders)) is not None:
            given.append(like(scan, bare, nominal))
            continue
        if (wrong := put_right(scan, bare, lenders)) is not None:
            given.append(like(scan, bare, wrong))
            continue
        if given and given[-1].kind == "length" and follows_by(scan, bare, given[-1]):
            given.append(like(scan, bare, given[-1]))
            continue
        options = _options(scan, bare, lenders, said)
        if after is not None and (pointed := _with_tenths(scan, bare, after)) is not None:
            options += [
                replace(option, evidence=(*option.evidence, "with tenths", f"{option.kind} with tenths"))
                for option in _options(scan, pointed, lenders, said)
            ]
        if not options:
            continue
        none = for_none(scan, bare, lenders)
        if scan.kinds is not None:
            none += scan.kinds.whether(*scan.tokens(bare.start, bare.end), "")
        chosen = choose(scan, bare, none, options)
        if chosen >= 0:
            found = _found(scan, options[chosen])
            given.append(found)
            lenders.insert(bisect_right([item.start for item in lenders], found.start), found)
    return given


def _stands_for_a_noun(scan: Scan, bare: Bare, lenders: Sequence[Found]) -> bool:
    """ "an eight millimetre one", "a thou on one and two on the other", "two mil one side": no figure."""
    if scan.at(bare.start) != "one" or bare.end != bare.start + 1 or not scan.joined(bare.start):
        return False
    one_side = scan.at(bare.end) in ("side", "end") and "other" in scan.words[bare.end : bare.end + _OTHER_WITHIN]
    if scan.at(bare.end) in ("that's", "that", "which") and bare.end not in scan.breaks:
        return True  # "and one that's open"
    behind_a_figure = scan.at(bare.start - 1) != "take" and any(found.end == bare.start for found in lenders)
    return behind_a_figure or one_side or one_of_two(scan, bare)


def _with_tenths(scan: Scan, bare: Bare, after: Bare) -> Bare | None:
    """ "twelve nine standing": whole and tenths of one number, said without its point."""
    whole = bare.spoken and after.spoken and bare.high is None and after.high is None
    if not whole or after.start != bare.end or after.start in scan.breaks or bare.value <= 1:
        return None
    if bare.value.denominator != 1 or after.value.denominator != 1 or not 1 <= after.value <= 9:
        return None
    return replace(bare, value=bare.value + after.value / 10, end=after.end, shape="decimal")


def _found(scan: Scan, option: Option) -> Found:
    bare = option.bare
    why = f"no unit was said; by the words around it taken as {option.unit or option.kind}"
    if option.lender is not None:
        why = lent_by(scan.words[option.lender.start : option.lender.end])
    elif (told := scan.declaration(option.kind, bare.start)) is not None and told.unit == option.unit:
        why = said_for_all(scan.words[told.start : told.end])
    high = None if bare.high is None else bare.high * option.times
    value = option.value
    unit = option.unit
    tenths = value.denominator != 1 and value < _MOST_LITRES
    if unit == "mL" and tenths and option.lender is not None and option.lender.value >= _MOST_LITRES**2:
        unit = "L"  # "it wants three hundred mil, and it takes one point nine altogether"
    figure = Found(option.kind, value, high, unit, bare.start, bare.end, bare.start, times=option.times, why=why)
    if option.lender is not None and option.lender.unit == unit:
        figure = replace(figure, declared=option.lender.declared)  # a pint that nobody said whose it is lends no more
    return scan.hedged(figure)


def _options(scan: Scan, bare: Bare, lenders: Sequence[Found], said: Mapping[str, Found]) -> list[Option]:
    """Units of figures before and behind, the nearest of each, and those that words nearby ask for."""
    options: dict[tuple[str, str], Option] = {}
    if said_of_tyres(scan, bare):
        lenders = [found for found in lenders if found.kind in OF_TYRES]
    near = [found for found in lenders if 0 <= bare.start - found.end <= REACH_BACK]
    before = [found for found in near if found.kind not in LEND_NONE]
    behind = [found for found in lenders if 0 <= found.start - bare.end <= _ON and found.kind not in LEND_NONE]
    last = near[-1] if near else None
    for side, lenders_there in (("before", reversed(before)), ("behind", behind)):
        for rank, found in enumerate(lenders_there):
            unit, times = lent_unit(bare, found)
            key = found.kind.replace("clearance", "length"), unit
            lends = as_large(bare, found) and may_lend(bare, found)
            if key not in options and lends and not barred(scan, bare, found, lenders):
                names = (*lent(scan, bare, found, side, rank), f"lender {side} {min(rank, 3)}")
                if unit != found.unit:
                    names = (*names, "lent a larger unit")
                options[key] = Option(*key, times, found, names, bare)
    american = scan.settings.units == "us"
    read = scan.kinds.likely(*scan.tokens(bare.start, bare.end)) if scan.kinds else ()
    torques = scan.declaration("torque", bare.start) is not None and _is_of_a_fastener(scan, bare)
    for kind in DEFAULTS:
        default = default_unit(scan, bare, kind, said)
        if (kind, default) not in options and any(name == kind for name, _ in options):
            continue
        names = (*asked(scan, bare, kind), *offered(scan, bare, kind, last))
        if (kind, default) in options or (kind == "torque" and not may_be_torque(scan, bare, said)):
            continue
        if kind == "torque" and asks_for_another(scan, bare, "torque"):
            continue
        if (names or kind in read or (torques and kind == "torque")) and possible(bare, kind, said):
            evidence = (*names, *usual(bare, kind, "asked", said))
            options[kind, default] = Option(kind, default, Fraction(1), None, evidence, bare)
    if torques:  # "it's all foot pounds today. Head nuts eighteen": no spanner's, where no tool is named
        options = {key: option for key, option in options.items() if key[0] != "spanner" or option.lender is not None}
    metric = not american and bare.value >= _MOST_INCHES and not any(found.unit in ("in", "thou") for found in near)
    given = options.get(("length", "mm")) if in_thousandths(bare) and not metric else None
    if given is not None and ("length", "in") not in options:
        names = (*given.evidence, *inch_talk(scan, bare, lenders))
        options["length", "in"] = replace(given, unit="in", evidence=names, times=Fraction(1))
        if few_inches(bare, american) and not any(found.unit in ("mm", "µm") for found in near):
            del options["length", "mm"]
    beside = [*words_beside(scan, bare.start, bare.end)]
    return [
        replace(option, evidence=(*option.evidence, *_told(scan, bare, option, beside, said, last)))
        for option in options.values()
    ]


def _is_of_a_fastener(scan: Scan, bare: Bare) -> bool:
    """Whether a nut or bolt is named in a number's sentence, and no tool."""
    around = scan.sentence_words(bare.start)
    return bool(around & cue_words("fastener_nouns")) and not around & _TOOLS


def _told(
    scan: Scan, bare: Bare, option: Option, beside: Sequence[str], said: Mapping[str, Found], last: Found | None
) -> Iterator[str]:
    """What is said around a number of the kind that an option has."""
    if option.lender is not None:
        yield from asked(scan, bare, option.kind)
        yield from offered(scan, bare, option.kind, last)
        yield from usual(bare, option.kind, "lent", said)
    yield from (f"{option.kind} {name}" for name in beside)
    if scan.kinds is not None:
        yield from scan.kinds.whether(*scan.tokens(bare.start, bare.end), option.kind)
