"""Which of several things with one short name are meant: the nuts of the wheels, or the nuts of the rocker cover."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from operator import attrgetter

from pipeline.records import Event, PartMention
from pipeline.vocabulary import Vocabulary

# Names that many things on one machine go by; "wheel nut" is none of them.
SHARED = frozenset(
    ("ball", "bearing", "bolt", "boot", "bracket", "bush", "cable", "cap", "circlip", "clamp", "clip", "collar", "cone",
     "cotter", "cover", "cup", "dowel", "flange", "fork", "gasket", "gear", "grub screw", "handle", "hose", "housing",
     "key", "lever", "lock nut", "lock tab", "locknut", "nut", "o ring", "o-ring", "pad", "pin", "pipe",
     "plate", "plug", "ring", "rod", "roller", "rubber", "screw", "seal", "shaft", "shim", "sleeve", "spacer", "spring",
     "spring washer", "split pin", "stud", "tab washer", "terminal", "thrust washer", "union", "washer", "wire")
)  # fmt: skip
# What is of the machine's features and wear, or stands for something spoken of, and no part that anybody orders.
FEATURES = frozenset(
    ("bore", "brass", "bulge", "copper core", "crack", "daylight", "dent", "edge", "end float", "face", "gap", "groove",
     "hub face", "lip", "lot", "mark", "neutral", "notch", "play", "prong", "run out", "runout", "scratch", "slot",
     "split", "taper", "teeth", "thing", "thread", "track", "weep")
)  # fmt: skip
_ALWAYS = frozenset(("tooth", "teeth", "corner", "hole", "spark", "daylight", "thread", "gap"))
# What a thing is of was named so many words before it at most; things so near each other in the talk are one.
_HOST_WITHIN, _TOGETHER, _NEXT = 30, 45, 15

Item = Event | PartMention


def is_feature(part: str) -> bool:
    """True for "holes", "spark", "broken tooth": nothing that a list of parts holds."""
    name = part.lower()
    if name.endswith((" float", " play")) and name.split()[-2] in ("bearing", "end", "side"):
        return True
    return any(one in FEATURES or _ALWAYS.intersection(one.split()[-1:]) for one in (name, name.removesuffix("s")))


def hosts_of(items: Sequence[Item], vocabulary: Vocabulary) -> dict[Item, str]:
    """What each thing with a shared name is of: the last part named before it, in order of the words, "" if far off."""
    kinds = {name.lower(): term.kind for term in vocabulary.terms for name in term.spellings}
    ordered = sorted(items, key=attrgetter("start_word"))
    own = [(at, item) for at, item in enumerate(ordered) if item.part and not is_shared(item.part)
           and kinds.get(item.part.lower(), "part") in ("part", "fastener")]  # fmt: skip
    places = [at for at, _ in own]
    found = {}
    for at, item in enumerate(ordered):
        before = bisect_left(places, at) - 1
        host = own[before][1] if before >= 0 else None
        near = host is not None and item.start_word - host.end_word <= _HOST_WITHIN
        found[item] = host.part.lower() if host is not None and near else ""
    return found


def is_shared(part: str) -> bool:
    """True for a name that says nothing of what the thing is of."""
    return part.lower() in SHARED


def are_one(item: Item, host: str, row_host: str, row_count: int | None, row_end: int) -> bool:
    """Whether a thing with a shared name is that of a row: "the spacer" is the one spoken of, "a spacer" another."""
    if row_count and item.count and row_count != item.count:
        return False
    apart = item.start_word - row_end
    if host and row_host and host != row_host and apart > _NEXT:
        return _is_definite(item) and not item.count
    return apart <= _TOGETHER or host == row_host != "" or _is_definite(item)


def _is_definite(item: Item) -> bool:
    head = re.escape(item.part.lower().split()[-1])
    said = item.said.lower()
    return bool(
        re.search(rf"\b(?:the|that|those|these|this|my|its|both)\s+(?:\w+\s+){{0,2}}{head}", said)
        or re.match(rf"{head}(?:e?s)?(?:['’]s| is| are| on| in| back)\b", said)
    )
