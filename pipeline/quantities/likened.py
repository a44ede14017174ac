"""A number as the figure that lends it its unit, and the numbers that are no figure beside one."""

from __future__ import annotations

from dataclasses import replace

from pipeline.quantities.lent import lent_unit
from pipeline.quantities.one_of_them import one_more
from pipeline.quantities.reasons import lent_by
from pipeline.quantities.scan import Bare, Found, Scan, cue_words

_NEAR = 14


def read_as_another(scan: Scan, bare: Bare, kind: str) -> bool:
    """Whether the reader network is sure that a number is of another kind than the figure that would lend its unit."""
    return scan.kinds is not None and scan.kinds.another(*scan.tokens(bare.start, bare.end), kind)


def is_pronoun(scan: Scan, bare: Bare) -> bool:
    """ "a new one", "the other one"."""
    alone = bare.end == bare.start + 1 and scan.words[bare.start] == "one" and bare.high is None
    unmeasured = scan.at(bare.start - 1) not in cue_words("measures_before")
    return alone and scan.joined(bare.start) and (one_of_two(scan, bare) or unmeasured) and not one_more(scan, bare)


def one_of_two(scan: Scan, bare: Bare) -> bool:
    """ "a thou on one and two thou on the other"."""
    one = bare.end == bare.start + 1 and scan.words[bare.start] == "one"
    return one and scan.at(bare.start - 1) in ("on", "with") and "other" in scan.words[bare.end : bare.end + _NEAR]


def like(scan: Scan, bare: Bare, found: Found) -> Found:
    """The figure that a bare number is with the unit of another."""
    why = lent_by(scan.words[found.start : found.end])
    if found.start == bare.start:
        why = found.why  # made for the number itself
    unit, times = lent_unit(bare, found)
    high = None if bare.high is None else bare.high * times
    like = replace(found, value=bare.value * times, high=high, unit=unit, times=times, why=why)
    if unit != found.unit:
        like = replace(like, rivals=())
    like = replace(like, start=bare.start, end=bare.end, head=bare.start)
    return scan.hedged(replace(like, approximate=False, bound=""))
