"""Units that were heard without their figure: "torqued to Newton meters" once was "to ten"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.numbers.words import NUMBER_WORDS
from pipeline.quantities.heard_units import heard_units
from pipeline.quantities.scan import cue_words
from pipeline.quantities.units import unit_table
from pipeline.records import Finding, Quantity, Token
from pipeline.times import ms_to_clock
from pipeline.tokens import bare

# Kinds of unit that nobody speaks of without a figure, once talk about units itself is left out.
_TAKES_BACK = frozenset({"no", "nah", "sorry", "mean", "that's", "wait"})
_TORQUES = ("N·m", "lbf·ft", "lbf·in")


def lost_figures(quantities: Sequence[Quantity], tokens: Sequence[Token]) -> Iterator[Finding]:
    """A finding for each torque unit that no figure stands before, but words that may hide one."""
    covered = {place for qty in quantities for place in range(qty.start_word, qty.end_word)}
    words = [bare(token.text) for token in tokens]
    for place in range(1, len(words)):
        length = _unit_length(words, place)
        if not length or any(tokens[place + step].start_word in covered for step in range(length)):
            continue
        before = words[place - 1]
        if _ends_a_number(before) or before in _TAKES_BACK:
            continue  # the figure was heard, and taken back
        if before in cue_words("units_talked_of") or tokens[place - 1].end_word - 1 in covered:
            continue
        if any(word in cue_words("converting") for word in words[max(0, place - 6) : place]):
            continue
        said = " ".join(token.text for token in tokens[max(0, place - 2) : place + length])
        start_ms = tokens[place - 1].start_ms
        message = f"heard {said!r}: the figure before the unit was lost; listen again at {ms_to_clock(start_ms)}"
        yield Finding("check", "figure_lost", message, start_ms)


def _ends_a_number(word: str) -> bool:
    """Whether a word ends a number, so that no figure is missing behind it."""
    return word[-1:].isdigit() or word.split("-")[-1] in NUMBER_WORDS or word in ("half", "quarter", "quarters")


def _unit_length(words: Sequence[str], place: int) -> int:
    """How many words from a place on name a unit of torque in full ("newton metres"), 0 for none."""
    for length in (3, 2):
        said = " ".join(words[place : place + length])
        if said.count(" ") == length - 1 and any(
            said in unit.surely and unit.name in _TORQUES and "newton" in said for unit in heard_units()
        ):
            return length
    for alias in unit_table().aliases.get(words[place], ()):
        whole = len(alias.words) > 1 and not alias.written and len(alias.words[-1]) > 4
        if whole and alias.target in _TORQUES and tuple(words[place : place + len(alias.words)]) == alias.words:
            return len(alias.words)
    return 0
