"""Units, and numbers beside them, that were heard as everyday words: put to the sound.

"Four though", "14 newton members", "a hundred and I'm tea".
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from pipeline.correct.language import english
from pipeline.correct.rewrite import written_form
from pipeline.numbers import cut, read_number
from pipeline.numbers.words import TEENS, TENS, says_number
from pipeline.quantities.alike import alike
from pipeline.quantities.garbled import unit_garbled
from pipeline.records import Correction, Quantity, Word
from pipeline.second_hearing.calibration import Calibration
from pipeline.second_hearing.contests import Contest
from pipeline.second_hearing.ears import Heard
from pipeline.tokens import bare, ends_sentence

_DATA = Path(__file__).resolve().parent.parent / "data" / "spoken_units.toml"
_ALIKE, _ALIKE_SURELY, _ALIKE_REST = 0.5, 0.7, 0.65
# Likeness that stands for "has been met".
_MET = 0.6
# A word that the recogniser was this sure of is no unit, unless it has been met as one.
_SURE = 0.85
_UNITS_EACH = 2
_WORTH = 0.5
# Nats from which on the sound is said to speak against the unit.
_AGAINST = 8.0
_MOST_PRIOR = 8.0


@dataclass(frozen=True, slots=True)
class UnitContest:
    """`contest` compares what was heard with units. `alike`: likeness of their sounds to it, a unit each. `senseless`:
    whether the words heard make no sense where they stand."""

    contest: Contest
    alike: tuple[float, ...]
    senseless: bool = False


@cache
def _data() -> dict[str, Any]:
    return tomllib.loads(_DATA.read_text(encoding="utf-8"))


def find_units(
    words: Sequence[Word], quantities: Sequence[Quantity], taken: Sequence[tuple[int, int]]
) -> list[UnitContest]:
    """Contests at numbers that no unit follows but a word that sounds like one, and at units without their number."""
    covered = {place for start, end in taken for place in range(start, end)}
    # A unit that the text alone made of other words is put to the sound like any other garble.
    with_unit = [
        (qty.start_word, qty.end_word)
        for qty in quantities
        if qty.unit and qty.kind != "count" and not unit_garbled(qty)
    ]
    found = []
    for end in _number_ends(words):
        if any(start < end < stop for start, stop in with_unit) or end >= len(words) or end in covered:
            continue
        if not ends_sentence(words[end - 1].text) and not words[end - 1].text.endswith(","):
            found += _beside(words, end, covered)
    for start in range(len(words) - 1):
        if start not in covered and not any(first <= start < stop for first, stop in with_unit):
            found += _garbled_number(words, start, covered)
    for start in range(len(words) - 3):
        if not covered & set(range(start, start + 4)):
            found += _garbled_rest(words, start)
    return found


def _number_ends(words: Sequence[Word]) -> list[int]:
    """Indexes of the words that follow a number."""
    pieces = cut([word.text for word in words])
    plain = [piece.text for piece in pieces]
    stops = {place + 1 for place, piece in enumerate(pieces) if piece.stop}
    ends, at = [], 0
    while at < len(pieces):
        number = read_number(plain, at, stops)
        if number is None:
            at += 1
            continue
        at = number.end
        if at == len(pieces) or pieces[at].token > pieces[at - 1].token:
            ends.append(pieces[at - 1].token + 1)
    return ends


def _beside(words: Sequence[Word], start: int, covered: set[int]) -> list[UnitContest]:
    """The contest for the one or two words from `start` on, by the stretch that sounds most like a unit."""
    units: list[str] = _data()["spoken"]
    met: dict[str, list[str]] = _data()["heard"]
    found: list[tuple[float, str, int]] = []
    for end in (start + 1, start + 2):
        if end > len(words) or end - 1 in covered or (end - start == 2 and ends_sentence(words[start].text)):
            break
        heard = " ".join(bare(word.text) for word in words[start:end])
        if heard in units or heard in _data()["left_alone"]:
            return []
        begins_unit = end - start == 2 and any(unit.startswith(bare(words[start].text) + " ") for unit in units)
        sure = min(word.probability for word in words[start:end]) >= _SURE and not begins_unit
        for unit, likeness in zip(units, alike(heard, tuple(units)), strict=True):
            if heard in met.get(unit, ()) or (likeness >= _ALIKE and not sure):
                found.append((max(likeness, _MET) if heard in met.get(unit, ()) else likeness, unit, end))
    if not found:
        return []
    end = max(found)[2]
    chosen = sorted((item for item in found if item[2] == end), reverse=True)[:_UNITS_EACH]
    stretch = words[start:end]
    heard = " ".join(word.text for word in stretch)
    wordings = (heard, *(written_form(stretch, unit, False) for _, unit, _ in chosen))
    return [UnitContest(Contest(start, end, wordings, _WORTH * chosen[0][0]), tuple(item[0] for item in chosen))]


def _garbled_number(words: Sequence[Word], start: int, covered: set[int]) -> list[UnitContest]:
    """ "For newton letters": an everyday word that sounds like a number, in front of what is or sounds like a unit."""
    heard = bare(words[start].text)
    number = next((name for name, others in _data()["numbers"].items() if heard in others), "")
    if not number or ends_sentence(words[start].text):
        return []
    units: list[str] = _data()["after_garbled_numbers"]
    for end in (start + 3, start + 2):
        if end > len(words) or any(place in covered for place in range(start, end)):
            continue
        following = " ".join(bare(word.text) for word in words[start + 1 : end])
        likeness, unit = max(zip(alike(following, tuple(units)), units, strict=True))
        if any(char.isdigit() for char in following):
            continue
        if likeness >= _ALIKE_SURELY:
            written = written_form(words[start:end], f"{number} {unit}", False)
            heard = " ".join(word.text for word in words[start:end])
            return [UnitContest(Contest(start, end, (heard, written), _WORTH), (likeness,))]
    return []


def _garbled_rest(words: Sequence[Word], hundred: int) -> list[UnitContest]:
    """ "A hundred and I'm tea": behind these words a number is to be expected, and two words sound like one."""
    first, second, *rest = words[hundred : hundred + 4]
    if not re.fullmatch(r"hundred|[1-9]00", bare(first.text)) or bare(second.text) != "and":
        return []
    texts = [bare(word.text) for word in rest]
    if ends_sentence(first.text) or ends_sentence(rest[0].text) or any(map(says_number, texts)):
        return []
    numbers = (*TEENS, *TENS)
    likeness, number = max(zip(alike(" ".join(texts), numbers), numbers, strict=True))
    if likeness < _ALIKE_REST:
        return []
    stretch = words[hundred : hundred + 4]
    written = written_form(stretch, f"{bare(first.text)} and {number}", False)
    heard = " ".join(word.text for word in stretch)
    return [UnitContest(Contest(hundred, hundred + 4, (heard, written), _WORTH), (likeness,), senseless=True)]


def unit_evidence(item: UnitContest, heard: Heard, words: Sequence[Word]) -> tuple[int, dict[str, float]]:
    """The wording of the unit that the sound supports best, and the evidence for it against what was heard."""
    best = max(range(1, len(item.contest.wordings)), key=heard.support)
    stretch = words[item.contest.start_word : item.contest.end_word]
    return best, {
        "sound": heard.nats(best) - heard.nats(0),
        "prior": min(_MOST_PRIOR, heard.priors[best] - heard.priors[0]),
        "alike": item.alike[best - 1],
        "doubt": 1.0 - min(word.probability for word in stretch),
        "senseless": float(item.senseless or any(not english().frequency(bare(word.text)) for word in stretch)),
    }


def judge_unit(item: UnitContest, heard: Heard, words: Sequence[Word], calibration: Calibration) -> Correction | None:
    """A correction to the unit that the sound supports best; None where it does not bear one out."""
    best, evidence = unit_evidence(item, heard, words)
    score = calibration.probability("unit", evidence)
    if score < calibration.ask_unit:
        return None
    wordings = item.contest.wordings
    return Correction(
        item.contest.start_word,
        item.contest.end_word,
        wordings[0],
        wordings[best],
        round(score, 3),
        "auto" if score >= calibration.auto else "ask",
        f"stands behind a figure and sounds {evidence['alike'] * 100:.0f} % like it; " + _said(evidence["sound"]),
        rivals=tuple(wording for place, wording in enumerate(wordings) if place not in (0, best)),
        sound_nats=round(evidence["sound"], 2),
    )


def _said(nats: float) -> str:
    if nats > 0:
        return "heard again, the sound fits it better"
    return "the sound leaves it open" if nats > -_AGAINST else "the sound alone speaks for what was heard"
