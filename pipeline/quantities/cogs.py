"""The smallest and the largest cog of a cassette, said side by side: "an eleven thirty four"."""

from __future__ import annotations

from fractions import Fraction

from pipeline.quantities.scan import Bare, Found, Scan

_CASSETTES = frozenset({"cassette", "cassettes", "freewheel", "freewheels"})
_SMALLEST, _LARGEST = range(9, 17), range(21, 53)


def read_cogs(scan: Scan) -> tuple[list[Bare], list[Found]]:
    """The numbers that are no such pair, and two counts of teeth for each that is one."""
    left, cogs = [], []
    for bare in scan.bare:
        small, large = divmod(int(bare.value), 100)
        pair = bare.shape == "joined" and bare.spoken and small in _SMALLEST and large in _LARGEST
        if not pair or not scan.sentence_words(bare.start) & _CASSETTES:
            left.append(bare)
            continue
        ends = ((small, bare.start, bare.start + 1), (large, bare.start + 1, bare.end))
        why = "the smallest and the largest cog of a cassette"
        cogs += [Found("teeth", Fraction(teeth), None, "", start, end, start, why=why) for teeth, start, end in ends]
    return left, cogs
