"""The table of units heard as other words (vocab/figures/heard.toml), and whether the words around ask for one."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from pipeline.numbers import Figure
from pipeline.quantities.scan import Scan, cue_words
from pipeline.quantities.units import figures_data

_NEAR = 6
_LINKS = frozenset({"of", "end", "valve", "tappet", "on", "the"})
MEASURED = frozenset({"at", "is", "was", "to", "of", "be", "are", "were", "it's", "gap", "about", "by", "within"})
# Where the words asked for stand in the sentence before, the sound must be so much nearer.
_FAR_TOLL = 0.1


@dataclass(frozen=True, slots=True)
class HeardUnit:
    """What vocab/figures/heard.toml says of one unit."""

    name: str
    spoken: tuple[str, ...]
    alike: float
    surely: frozenset[str]
    heard: frozenset[str]
    common: frozenset[str]
    before: frozenset[str]
    after: frozenset[str]
    most: int
    commonly: int
    asks: frozenset[str]
    beside: frozenset[str]


@cache
def heard_units() -> tuple[HeardUnit, ...]:
    """All units that are known to be heard as other words, read once."""
    data = figures_data("heard")
    units = []
    for name, entry in data["units"].items():
        kind = data["kinds"][entry["kind"]]
        asks = _asks(kind)
        words = {key: frozenset(entry.get(key, ())) for key in ("surely", "heard", "common", "before", "after")}
        beside = asks | frozenset(kind.get("beside", ()))
        spoken, least = tuple(entry["spoken"]), entry.get("alike", 1.0)
        most = entry["most"]
        commonly = entry.get("commonly", most)
        units.append(
            HeardUnit(
                entry.get("unit", name), spoken, least, most=most, commonly=commonly, asks=asks, beside=beside, **words
            )
        )
    return tuple(units)


def _asks(kind: dict[str, Any]) -> frozenset[str]:
    words = set(kind["asks"])
    for path in kind.get("also", ()):
        name, *keys = path.split(".", 2)
        found: Any = figures_data(name)
        for key in keys:
            found = found[key]
        words.update(found)
    return frozenset(words)


@cache
def kind_asks(name: str) -> frozenset[str]:
    """Words that ask for a figure of a kind."""
    return frozenset(_asks(figures_data("heard")["kinds"].get(name, {"asks": []})))


def stretch_at(scan: Scan, place: int, length: int) -> str:
    """So many words from a piece on, "" where they do not run on."""
    words = scan.words[place : place + length]
    runs_on = len(words) == length and not any(index in scan.breaks for index in range(place, place + length))
    return " ".join(words) if runs_on and not any(word[0].isdigit() for word in words) else ""


def _right_after(scan: Scan, index: int, asks: frozenset[str]) -> str:
    """ "two now inlet", "twelve hour of backlash"."""
    for place in range(index, min(index + 3, len(scan.words))):
        if place in scan.breaks or (scan.words[place] not in asks and scan.words[place] not in _LINKS):
            return ""
        if scan.words[place] in asks:
            return scan.words[place]
    return ""


def _before(scan: Scan, index: int, asks: frozenset[str]) -> str:
    """ "the gap came out at twelve now": only where the figure is said to be the measure."""
    if scan.at(index - 1) not in MEASURED:
        return ""
    start = max(scan.sentence(index)[0], index - _NEAR)
    return next((scan.plain[place] for place in range(index - 1, start - 1, -1) if scan.plain[place] in asks), "")


def asked_nearby(scan: Scan, figure: Figure, end: int, asks: frozenset[str]) -> tuple[str, float]:
    """(the nearest word of the sentence that asks for such a figure, toll); those of the sentence before count less."""
    own, wide = scan.sentence(figure.start), scan.with_sentence_before(figure.start)
    for (first, last), toll in ((own, 0.0), (wide, _FAR_TOLL)):
        places = [
            place for place in range(first, last) if not figure.start <= place < end and _asks_at(scan, place, asks)
        ]
        if places:
            return scan.plain[min(places, key=lambda place: abs(place - figure.start))], toll
    return "", 0.0


def _asks_at(scan: Scan, place: int, asks: frozenset[str]) -> bool:
    """Whether a word asks for a figure, alone or as one of two ("run out", for what "float" asks for)."""
    pair = f"{scan.plain[place]} {scan.at(place + 1)}"
    return scan.plain[place] in asks or (
        "float" in asks and pair in cue_words("clearance_pairs") | cue_words("length_pairs")
    )


def asked_beside(scan: Scan, start: int, end: int, unit: HeardUnit) -> str:
    """The word right beside a figure that asks for it."""
    return _right_after(scan, end, unit.beside) or _before(scan, start, unit.beside)
