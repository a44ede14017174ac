"""Lays heard words against spoken words: the least number of words changed, dropped and added."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rapidfuzz.distance import Levenshtein

from pipeline.tokens import bare


def comparable(text: str) -> list[str]:
    """Words as they are compared: bare, a hyphen parts words.

    >>> comparable("Fit the cross-slide, then.")
    ['fit', 'the', 'cross', 'slide', 'then']
    """
    return [word for piece in text.split() for word in map(bare, piece.replace("-", " ").split()) if word]


@dataclass(frozen=True, slots=True)
class Alignment:
    """`errors`: words changed, dropped and added. `matched`: the heard word each reference word equals, or -1."""

    errors: int
    matched: tuple[int, ...]
    blocks: tuple[tuple[str, int, int, int, int], ...]

    def heard_span(self, start: int, end: int) -> tuple[int, int]:
        """The heard words that stand for reference words `start`..`end` (half-open, and the same for the result)."""
        low: int | None = None
        high = 0
        for kind, ref_start, ref_end, hyp_start, hyp_end in self.blocks:
            if ref_start < end and start < ref_end:
                if kind == "equal":
                    first, last = (
                        hyp_start + max(start, ref_start) - ref_start,
                        hyp_start + min(end, ref_end) - ref_start,
                    )
                else:
                    first, last = hyp_start, hyp_end
                low = first if low is None else low
                high = last
        return (low or 0, max(high, low or 0))


def align(reference: Sequence[str], heard: Sequence[str]) -> Alignment:
    """The alignment of two lists of words. Neighbouring changes are taken together as one block."""
    matched = [-1] * len(reference)
    blocks: list[tuple[str, int, int, int, int]] = []
    errors = 0
    for op in Levenshtein.opcodes(reference, heard):
        kind = "equal" if op.tag == "equal" else "changed"
        errors += 0 if op.tag == "equal" else max(op.src_end - op.src_start, op.dest_end - op.dest_start)
        if kind == "equal":
            for step in range(op.src_end - op.src_start):
                matched[op.src_start + step] = op.dest_start + step
        if blocks and kind == "changed" == blocks[-1][0]:
            before = blocks.pop()
            blocks.append((kind, before[1], op.src_end, before[3], op.dest_end))
        else:
            blocks.append((kind, op.src_start, op.src_end, op.dest_start, op.dest_end))
    return Alignment(errors, tuple(matched), tuple(blocks))
