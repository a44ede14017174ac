"""A second look at units that nobody said, once it is known what a figure belongs to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.numbers.words import word_set
from pipeline.quantities.owners import Span, Speech
from pipeline.quantities.reasons import UNSAID, is_lent, is_said_apart, lent_by
from pipeline.quantities.things import Thing
from pipeline.records import Quantity

# Kinds whose unit everybody knows without a word: a spanner's, a number of teeth, a grade.
_CONVENTIONAL = frozenset({"spanner", "teeth", "grit", "viscosity", "ratio", "thread", "count", "percentage"})
_CERTAIN = "such fractions"
_MOST_TIMES, _MOST_TIMES_TORQUE = 8, 16
_WITHIN, _KEPT_WITHIN = 12, 60
# So many millimetres of a fluid are millilitres, unless they are how high it stands.
_LEAST_POURED = 50
_LEVELS = word_set("level levels height dipstick brim")
_DOWN_FROM = word_set("below above down top deep depth gap from rim")
_CUT = word_set(
    "ream reamed reaming bore bored boring turn turned drill drilled drilling hone honed hole core diameter"
)
_MOST_CUT_MM = 150
# What nobody tightens.
_SOFT = word_set("washer gasket seal o-ring paper felt cloth rag bush shim tape")


def unit_is_said(place: int, spans: Sequence[Span], said: Sequence[bool], speech: Speech) -> bool:
    """Whether somebody said the unit of a figure, for it or for one of its size and kind in the sentence before;
    `said` tells it of the figures before."""
    span = spans[place]
    qty = span.qty
    if qty.kind in _CONVENTIONAL or _CERTAIN in qty.why:
        return True
    if UNSAID in qty.why:
        return False
    if not is_lent(qty.why) or is_said_apart(qty.why):
        return True
    sentence = speech.sentence_of[span.start]
    for at, other in enumerate(spans):
        lender = other.qty
        known = said[at] if at < place else not (is_lent(lender.why) or UNSAID in lender.why)
        if at == place or not known or lender.unit != qty.unit:
            continue
        apart = sentence - speech.sentence_of[other.start]
        if not apart or (at < place and _of_a_size(qty, lender) and _is_near(span, other, apart)):
            return True
    return False


def _is_near(span: Span, lender: Span, apart: int) -> bool:
    """Whether a figure stands so near that its unit is still understood: torques and pressures keep theirs for long,
    and so does an amount that is said again."""
    again = span.qty.value == lender.qty.value
    within = _KEPT_WITHIN if again or span.qty.kind in ("torque", "pressure", "temperature") else _WITHIN
    return apart <= 1 or span.start - lender.end <= within


def _of_a_size(qty: Quantity, lender: Quantity) -> bool:
    most = _MOST_TIMES_TORQUE if qty.kind == "torque" else _MOST_TIMES
    return lender.value > 0 and 1 / most <= qty.value / lender.value <= most


def fits_owner(
    qty: Quantity, thing: Thing | None, span: Span, speech: Speech, last: Quantity | None = None
) -> Quantity | None:
    """The figure with a unit that makes sense for its owner; None where none does and nobody said one.

    A length of a fluid is a volume, a volume of what was reamed or drilled a length, and nobody tightens oil.
    `last` is the figure before.
    """
    over = qty.bound == "at_least" and qty.said.lower().startswith("over ") and qty.kind == "length"
    if over and last is not None and last.kind == "length" and last.end_word == qty.start_word:
        qty = replace(qty, bound="")  # "a thou over twelve inches": so much in so far
    if thing is None:
        return qty
    around, lately = _words_of(span, speech, 0), _words_of(span, speech, 1)
    of_mil = qty.why.startswith("'mil' taken")
    if thing.kind == "fluid":
        length = qty.kind == "length" and qty.unit == "mm" and (of_mil or not qty.unit_said)
        if length and qty.value >= _LEAST_POURED and not (lately & _LEVELS or around & _DOWN_FROM):
            return _as(qty, "volume", "mL", "so many of a fluid are millilitres")
        guess = qty.kind == "pressure" and not qty.unit_said and qty.value >= _LEAST_POURED
        if guess and last is not None and last.kind == "volume" and last.subject == thing.name:
            return _as(qty, "volume", last.unit, lent_by([last.said]))
        return None if qty.kind in ("torque", "voltage") and not qty.unit_said else qty
    if qty.kind == "torque" and not qty.unit_said and thing.name.split()[-1].lower() in _SOFT:
        return None
    cut = qty.kind == "volume" and of_mil and thing.kind in ("part", "fastener") and bool(around & _CUT)
    return (
        _as(qty, "length", "mm", "what is cut to a size is in millimetres")
        if cut and qty.value <= _MOST_CUT_MM
        else qty
    )


def _words_of(span: Span, speech: Speech, back: int) -> set[str]:
    """The words of a figure's sentence and of so many before it."""
    numbers, sentence = speech.sentence_of, speech.sentence_of[span.start]
    first, last = span.start, span.end
    while first > 0 and numbers[first - 1] >= sentence - back:
        first -= 1
    while last < len(numbers) and numbers[last] == sentence:
        last += 1
    return {*speech.words[first:last]}


def _as(qty: Quantity, kind: str, unit: str, why: str) -> Quantity:
    """The figure as another kind; of the units used here each is its own SI unit."""
    return replace(qty, kind=kind, unit=unit, si_value=qty.value, si_high=qty.high, si_unit=unit, why=why)
