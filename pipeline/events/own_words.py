"""A word of one part's name tells of that part: "Pads are out" is no word about the disc."""

from __future__ import annotations

from collections.abc import Iterable, Set

from pipeline.events.phrase import Phrase, Scan

_BETWEEN = frozenset(("and", "plus", "then", "with", "both", "all", "new", "followed", "by", "the", "a", "an", "its"))


def named_at(at: int, scan: Scan) -> Phrase | None:
    """The named part in whose words a unit stands."""
    for phrase in scan.phrases_in(max(0, at - 6), at + 1):
        if phrase.is_part and phrase.start <= at < phrase.end:
            return phrase
    return None


def of_their_own_word(at: int, parts: Iterable[Phrase], told: Iterable[Phrase], scan: Scan) -> list[Phrase]:
    """Those of `parts` that a word told without a verb may be about: where it stands in the name of a part that it
    tells (one of `parts` or of those `told` in that sentence) also what goes on in the same list, and nothing else."""
    chosen = list(parts)
    own = named_at(at, scan)
    if (
        own is None
        or own.kind in ("fluid", "material")
        or not any(part.start == own.start for part in (*chosen, *told))
    ):
        return chosen
    itself = own in chosen
    return [
        part for part in chosen
        if part.name == own.name or _goes_on(own, part, scan) or (not itself and same_thing(own.name, part.name))
    ]  # fmt: skip


def same_thing(one: str, other: str) -> bool:
    """ "the suspension spring", and then "the spring"."""
    return one == other or one.endswith(f" {other}") or other.endswith(f" {one}")


def only_items(items: Iterable[Phrase], start: int, end: int, joints: Set[str], scan: Scan) -> bool:
    """Whether nothing but items of a list and words that join them stands between two units."""
    inside = {at for item in items for at in range(item.start, item.end)}
    return all(at in inside or scan.text[at] in joints for at in range(start, end))


def _goes_on(own: Phrase, part: Phrase, scan: Scan) -> bool:
    """Whether nothing but other items and what joins them stands between two parts."""
    if part.start < own.end:
        return False
    return only_items(scan.phrases_in(own.end, part.start), own.end, part.start, _BETWEEN, scan)
