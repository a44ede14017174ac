"""Several spanners, their tool named once: "a ten and a thirteen spanner"; and a bolt's size before its spanner's."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.spanners import APPOSED_WITHIN, spanner_after
from pipeline.quantities.tapped import as_thread, is_thread

_NAMED_WITHIN = 4


def _bolt_before(scan: Scan, found: Found) -> bool:
    """ "flange bolts, half inch, three quarter spanner": the first size is the bolt's, the second its spanner's."""
    first = max(scan.sentence(found.start)[0], found.start - APPOSED_WITHIN)
    if found.start in scan.sentences:  # "Stay bolts. Quarter inch, seven-sixteenths across the flats."
        first = max(scan.with_sentence_before(found.start)[0], found.start - _NAMED_WITHIN)
    return is_thread(found) and bool({*scan.plain[first : found.start]} & cue_words("fastener_nouns"))


def either_spanner(scan: Scan, bare: Bare) -> list[Bare]:
    """ "an eighth or three sixteenths spanner" names two, no range."""
    if bare.high is None or not spanner_after(scan, bare.end):
        return [bare]
    return [replace(bare, value=bare.high, high=None), replace(bare, high=None)]


def split_count(value: Fraction) -> tuple[Fraction, Fraction] | None:
    """ "two ten mil bolts" hears as 210: the count and the size, where the first figure is a single digit."""
    count, size = divmod(value, 100)
    return (Fraction(count), Fraction(size)) if 1 <= count <= 9 and 3 <= size <= 65 else None


def spanner_lists(scan: Scan, figures: list[Found], bare: list[Bare]) -> list[Found]:
    """ "a ten and a thirteen spanner", "10mm and 13mm spanners": sizes linked to a spanner are spanners.

    Bare numbers that are used leave `bare`.
    """
    listed = list(figures)
    ends: dict[int, Found | Bare] = {item.end: item for item in bare if item.high is None}
    ends |= {found.end: found for found in figures if found.kind == "length" and found.unit in ("mm", "in")}
    queue = [found for found in figures if found.kind == "spanner"]
    while queue:
        spanner = queue.pop()
        link = spanner.start
        while link > 0 and scan.words[link - 1] in ("and", "or", "a", "an") and link not in scan.sentences:
            link -= 1
        before = ends.get(link)
        if before is None or (link == spanner.start and link not in scan.breaks) or link in scan.sentences:
            continue
        if isinstance(before, Bare):
            if not 3 <= before.value <= 65 and before.value.denominator == 1:
                continue
            bare.remove(before)
            unit = "mm" if before.value.denominator == 1 else "in"
            size = Found("spanner", before.value, None, unit, before.start, before.end, before.start)
            listed.append(size)
        elif link == spanner.start and _bolt_before(scan, before):
            listed[listed.index(before)] = as_thread(before, "the size of a fastener, before that of its spanner")
            continue
        else:
            size = replace(before, kind="spanner")
            listed[listed.index(before)] = size
        queue.append(size)
    return listed
