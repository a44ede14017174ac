"""Sizes of seals and bearings, in millimetres all over the world: "a fifteen by twenty four by five"."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.quantities.scan import Bare, Found, Scan, cue_words

_ROUND = frozenset({"seal", "seals", "bearing", "bearings", "cup", "cups", "bush", "bushes"})
_LEAST, _MOST = 3, 300


def by_each_other(scan: Scan, bare: Bare) -> Found | None:
    """Inside, outside and thickness; two of them where a seal or a bearing is talked of."""
    if scan.at(bare.end) not in ("by", "x") and scan.at(bare.start - 1) not in ("by", "x"):
        return None
    chain = [*_chain(scan, bare)]
    talk = scan.sentence_words(bare.start)
    told = len(chain) == 3 or (len(chain) == 2 and talk & _ROUND)
    if not told or talk & cue_words("stock") or any(not _of_a_size(item) for item in chain):
        return None
    return scan.figure_of(bare, "length", "mm", "sizes of a seal or bearing; no unit was said, taken as millimetres")


def _of_a_size(item: Bare | Found) -> bool:
    """Whether a number without a unit, in whole or tenths of a millimetre."""
    said = item.unit in ("", "mm") if isinstance(item, Found) else True
    return said and item.high is None and _LEAST <= item.value <= _MOST and 10 % item.value.denominator == 0


def _chain(scan: Scan, bare: Bare) -> Iterator[Bare | Found]:
    """All numbers said "by" each other with this one."""
    numbers: list[Bare | Found] = [*scan.bare, *scan.found]
    by_end: dict[int, Bare | Found] = {number.end: number for number in numbers}
    by_start: dict[int, Bare | Found] = {number.start: number for number in numbers}
    item: Bare | Found | None = bare
    while item is not None and scan.at(item.start - 1) in ("by", "x"):
        item = by_end.get(item.start - 1)
        if item is not None:
            yield item
    yield bare
    item = bare
    while item is not None and scan.at(item.end) in ("by", "x"):
        item = by_start.get(item.end + 1)
        if item is not None:
            yield item
