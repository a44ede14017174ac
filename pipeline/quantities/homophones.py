"""Numbers heard as the words that sound like them, right before a unit: "pressure tested at free psi", "want for bar".

The words stay the evidence, and such a figure is always asked about.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.numbers import Figure, read_figure
from pipeline.numbers.words import word_set
from pipeline.quantities.heard_units import asked_nearby, heard_units, kind_asks
from pipeline.quantities.scan import Found, Scan
from pipeline.quantities.unit_words import units_at
from pipeline.quantities.units import unit_named

# Word -> the number that sounds like it.
HOMOPHONES = {
    "to": "two",
    "too": "two",
    "for": "four",
    "fore": "four",
    "free": "three",
    "ate": "eight",
    "well": "twelve",
}
# Behind these a figure is to be expected.
_LEADS = word_set("is was be are were at it's that's want wants measured set about within gap read reads say says of")
_LEADS_TO = word_set("is was be are were it's set about within")
# "set to millimetres from the wheel", as against a gauge that is set to millimetres.
_MEASURED_FROM = word_set("from off over under below above deep thick proud clear between")
_UNITS = word_set("mm thou psi bar V A Ω L mL")
_EVERYDAY = word_set("play slack gap gaps lash solder dial squash preload")


def read_homophone(scan: Scan, index: int) -> Found | None:
    """The figure whose number was heard as a word of the sentence; None where the words make sense as they are."""
    word = scan.at(index)
    leads = _LEADS_TO if word == "to" else _LEADS
    if scan.at(index - 1) not in leads or scan.breaks & {index, index + 1}:
        return None
    figure = read_figure([HOMOPHONES[word]], 0)
    if figure is None:
        return None
    figure = replace(figure, start=index, end=index + 1)
    unit, end = _unit(scan, figure)
    if not unit:
        return None
    heard = " ".join(scan.words[index:end])
    why = f"{heard!r} may stand for {HOMOPHONES[word]} {unit}"
    kind = unit_named(unit).kind
    return Found(kind, Fraction(figure.low), None, unit, index, end, index, why=why, heard=heard, sure=False)


def _unit(scan: Scan, figure: Figure) -> tuple[str, int]:
    """(unit, end) right behind a figure: said in full, or a garble of thou where a gap is talked of; else ("", 0)."""
    for unit in units_at(scan, figure.end):
        name = unit.alias.target
        if name not in _UNITS or len("".join(unit.alias.words)) < 3:
            continue
        if scan.at(figure.start) == "to":
            return (name, unit.end) if scan.at(unit.end) in _MEASURED_FROM and unit.end not in scan.breaks else ("", 0)
        asked, _ = asked_nearby(scan, figure, unit.end, kind_asks(unit_named(name).kind))
        return (name, unit.end) if asked else ("", 0)
    thou = next(unit for unit in heard_units() if unit.name == "thou")
    if scan.at(figure.end) not in thou.surely | thou.heard | thou.common or figure.end in scan.breaks:
        return "", 0
    cue, _ = asked_nearby(scan, figure, figure.end + 1, thou.asks - _EVERYDAY)
    return ("thou", figure.end + 1) if cue else ("", 0)
