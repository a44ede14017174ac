"""A one that is a measure: "the book says one at most", "where it should have one", "and now it's one all over"."""

from __future__ import annotations

from pipeline.quantities.lent import LEND_NONE
from pipeline.quantities.scan import Bare, Found, Scan

_WITHIN = 24
# Right before it, and right behind.
_MEASURED = frozenset(
    {"says", "said", "gives", "allows", "wants", "specifies", "limit's", "limit", "it's", "is", "be", "than", "was"}
)
_HAVE = frozenset({"have", "has", "be", "get", "read"})
_BEHIND: tuple[tuple[str, ...], ...] = (
    ("at", "most"), ("max",), ("maximum",), ("all", "over"), ("all", "round"), ("all", "along"), ("both", "ends"),
    ("in", "so"), ("no", "more"), ("or", "less"), ("tops",), ("each", "side"), ("everywhere",), ("now",),
    ("in",), ("out",),
)  # fmt: skip
_SIDES = frozenset({"side", "end"})
# What says so.
_BOOKS = frozenset({"book", "manual", "sheet", "spec", "limit", "drawing", "chart", "tag", "plate", "card", "maker"})


def one_more(scan: Scan, bare: Bare) -> bool:
    """Whether a lone one is so much, and stands for no thing: by what says so, or by what stands behind it."""
    if bare.value != 1 or bare.end != bare.start + 1 or bare.high is not None or scan.at(bare.start) != "one":
        return False
    closes = bare.end in scan.breaks or scan.at(bare.end) in ("", "and", "so", "but", "no")
    behind = next((words for words in _BEHIND if tuple(scan.words[bare.end : bare.end + len(words)]) == words), ())
    told = bool(behind) and bare.end not in scan.breaks
    ends = bare.end + len(behind) in scan.breaks or scan.at(bare.end + len(behind)) in ("", "and", "so", "but")
    before, earlier = scan.at(bare.start - 1), scan.words[max(0, bare.start - 4) : bare.start - 1]
    should = before in _HAVE and bool({"should", "shouldn't", "must", "to"} & {*earlier})
    if should and closes:
        return True
    if before in _MEASURED and {*earlier, before.removesuffix("'s")} & _BOOKS:
        return closes or (told and ends)
    if before in ("it's", "is", "only") and told and ends:
        return {*behind}.isdisjoint(("in", "out", "now"))
    return _on_a_side(scan, bare, before)


def _on_a_side(scan: Scan, bare: Bare, before: str) -> bool:
    """ "three thou on the clutch side and one on the mag side"."""
    behind = scan.words[bare.end : bare.end + 5]
    sides = [place for place, word in enumerate(behind) if word in _SIDES]
    if before != "and" or behind[:2] not in (["on", "the"], ["at", "the"]) or not sides:
        return False
    return bool({*scan.words[max(0, bare.start - 6) : bare.start - 1]} & _SIDES)


def one_of_them(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """The figure whose unit such a one takes: the last length, clearance, torque or amount before it."""
    if not one_more(scan, bare):
        return None
    near = [found for found in lenders if 0 <= bare.start - found.end <= _WITHIN and found.kind not in LEND_NONE]
    last = near[-1] if near else None
    if last is None or last.kind in ("spanner", "viscosity", "grit", "teeth", "duration"):
        return None
    return last if last.value <= 12 * last.times else None
