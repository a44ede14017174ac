"""What is told of a list without a verb is told of all its items: "so, bush, stud, chain, front sprocket. Saturday"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pipeline.events.own_words import only_items
from pipeline.events.phrase import Scan
from pipeline.events.reading import SENTENCE
from pipeline.records import Event

_JOINTS = frozenset(("and", "then", "plus", "also"))
_FEWEST = 3


def all_to_come(events: Sequence[Event], wordless: Sequence[bool], heads: Sequence[int], scan: Scan) -> list[Event]:
    """The events; of a list most of whose items are to do, all are. `heads`: the last unit of each event's part."""
    found = list(events)
    for run in _lists([at for at, plain in enumerate(wordless) if plain], heads, scan):
        done = [at for at in run if found[at].status == "done"]
        planned = sum(found[at].status == "planned" for at in run)
        if done and len(run) >= _FEWEST and planned > len(done) and planned + len(done) == len(run):
            for at in done:
                found[at] = replace(found[at], status="planned")
    return found


def _lists(places: Sequence[int], heads: Sequence[int], scan: Scan) -> Iterator[list[int]]:
    """Runs of events whose parts stand side by side, in order of their words."""
    run: list[int] = []
    for at in sorted(places, key=lambda at: heads[at]):
        if run and not (heads[at] == heads[run[-1]] or _side_by_side(heads[run[-1]], heads[at], scan)):
            yield run
            run = []
        run.append(at)
    if run:
        yield run


def _side_by_side(head: int, other: int, scan: Scan) -> bool:
    """Whether only other items and what joins them stand between two parts."""
    phrase = scan.ending.get(other + 1)
    if phrase is None or phrase.start <= head:
        return False
    items = [item for item in scan.phrases_in(head + 1, phrase.start) if item.is_part]
    parted = any(scan.gap[at] >= SENTENCE for at in range(head + 1, phrase.start + 1))
    return not parted and only_items(items, head + 1, phrase.start, _JOINTS, scan)
