"""What is wrong and nobody knows why: "the headset clicks and I never found out why", "not got to the bottom of it"."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.events.phrase import Phrase
from pipeline.loose_ends.said import told_end
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.topics import Topics
from pipeline.records import LooseEnd

# What a machine does that it should not; the name of that is no part.
SIGNS = frozenset(
    ("click", "clicks", "clicking", "knock", "knocks", "knocking", "noise", "noises", "rattle", "rattles", "rattling",
     "squeak", "squeaks", "squeal", "squeals", "whine", "whines", "hum", "hums", "buzz", "buzzes", "clunk", "clunks",
     "grinds", "grinding", "rumble", "rumbles", "drag", "drags", "dragging", "binds", "binding", "wobble", "wobbles",
     "shakes", "shake", "vibration", "vibrates", "judder", "judders", "leak", "leaks", "leaking", "drip", "drips",
     "weep", "weeps", "weeping", "smoke", "smokes", "misfire", "misfires", "hunts", "hunting", "stalls", "cuts",
     "sticks", "sticking", "jumps", "slips", "slipping", "hot", "overheats", "tight", "stiff", "spot", "blows",
     "trips", "flickers", "dead", "scrapes", "rubs", "rubbing", "hiss", "hisses", "ticks", "ticking", "tick",
     "play", "pulls", "wanders", "dim", "runs", "rough", "missing", "gap", "draws", "drains", "loses", "losing", "hard")
)  # fmt: skip
_NOT_SO = frozenset(("if", "you", "he", "she", "they", "until", "till", "before"))
_BEFORE = 20  # units


def find_not_known(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """A promise for each fault whose reason the speaker says was not found."""
    scan = sentences.scan
    for start, end in sentences.cues("never_found"):
        first, stop = sentences.bounds(start)
        opened = sentences.bounds(first - 1)[0] if first else first
        told = range(max(opened, start - _BEFORE), stop)
        if _NOT_SO & set(sentences.lead(start)) or SIGNS.isdisjoint(scan.text[told.start : told.stop]):
            continue
        named = [part for part in scan.phrases_in(told.start, start) if _is_at_fault(part, topics)]
        own = [part for part in named if part.start >= first] or named
        own = [part for part in own if not topics.of_phrase(part).aside] or own
        if own:
            yield told_end("promised", topics.of_phrase(own[-1]), sentences, max(first, start - _BEFORE), end)


def is_only_a_sign(end: LooseEnd) -> bool:
    """ "I've not got to the bottom of that knock": no part, where a part is told to be at fault."""
    return end.kind == "promised" and end.part.split(" ")[-1] in SIGNS


def _is_at_fault(part: Phrase, topics: Topics) -> bool:
    return topics.is_topic(part) and part.head not in SIGNS
