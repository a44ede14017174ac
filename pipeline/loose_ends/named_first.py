"""What is named first and then left: "the back hub I've yet to do", "the mudguards and the rack aren't on"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.events.phrase import Phrase
from pipeline.loose_ends.follows import loose_end
from pipeline.loose_ends.names import PartNames
from pipeline.loose_ends.said import told_end
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.topics import Topics
from pipeline.records import Event, LooseEnd

_SPEAKER, _HAVE = ("i", "we"), frozenset(("have", "'ve"))
# "I still need to", "I've got to", "I've yet to", "I've still to": what is behind it is to be done.
_STILL, _MUST = frozenset(("still", "yet", "also", "really", "just")), frozenset(("need", "have", "'ve", "got", "want"))
# What nobody does to a part, and what is no work that is left.
_NO_WORK = frozenset((
    "say", "see", "admit", "laugh", "thank", "mention", "tell", "ask", "know", "like", "think", "find", "be", "have",
    "needed", "seen", "had", "heard", "known", "liked", "minded", "used", "found", "got", "said", "been", "met",
))  # fmt: skip
_EVER = frozenset(("for", "since", "before", "ever", "years", "either", "because", "as", "with", "to", "on", "like"))
# Plainly a job that is left, with or without "yet".
_LEFT = frozenset(("done", "finished", "started", "reached", "tried"))
_LONGEST = 7  # units between the head of the clause and the speaker
_IS = frozenset(("is", "are", "'s", "'re"))
_ON = frozenset(("on", "in", "back"))
_PUTS = frozenset(("fit", "assemble"))


def find_named_first(
    events: Sequence[Event], sentences: Sentences, topics: Topics, names: PartNames
) -> Iterator[LooseEnd]:
    """Jobs put off whose part opens the sentence, and parts that are said not to be on."""
    yield from _left_to_do(events, sentences, topics)
    yield from _not_on(events, sentences, names)


def _left_to_do(events: Sequence[Event], sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "Strike I still need to watch", "the governor linkage I haven't looked at yet"."""
    scan = sentences.scan
    for at, word in enumerate(scan.text):
        if word not in _SPEAKER or not at or scan.gap[at]:
            continue
        first, stop = sentences.bounds(at)
        start = max((spot for spot in range(first, at) if scan.gap[spot]), default=first)
        phrase = next((one for one in scan.phrases_in(start, at) if one.end == at), None)
        if phrase is None or not _opens(phrase, start) or not topics.is_topic(phrase):
            continue
        end = next((spot for spot in range(at + 1, stop) if scan.gap[spot]), stop)
        if not _is_left(scan.text[at + 1 : end]):
            continue
        planned = [event for event in events if at <= sentences.units(event)[0] < end or _covers(sentences, event, at)]
        action = next((event.action for event in planned if event.status in ("planned", "negated")), "")
        yield told_end("promised", topics.of_phrase(phrase), sentences, phrase.start, end, action)


def _opens(phrase: Phrase, start: int) -> bool:
    return phrase.is_part and phrase.start - start <= 2 and phrase.end - start <= _LONGEST


def _covers(sentences: Sentences, event: Event, at: int) -> bool:
    start, end = sentences.units(event)
    return start <= at < end


def _is_left(words: Sequence[str]) -> bool:
    """ "'ve | yet to do", "still need | to watch", "have not done"."""
    said = [word for word in words if word not in _STILL]
    if said[:1] and said[0] in _HAVE and said[1:2] == ["not"]:
        work = said[2:]
        if not work or work[0] in _NO_WORK or _EVER & set(work[1:]):
            return False
        return "yet" in words or (work[0] in _LEFT and len(work) == 1)
    at = next((at for at, word in enumerate(said) if word not in _MUST), len(said))
    told = at > 0 and said[at : at + 1] == ["to"] and len(said) > at + 1 and said[at + 1] not in _NO_WORK
    return told and bool({"still", "yet"} & set(words[:3]))


def _not_on(events: Sequence[Event], sentences: Sentences, names: PartNames) -> Iterator[LooseEnd]:
    """ "The mudguards and the rack aren't on": off now, where nothing tells that it is to be so."""
    text, gap = sentences.scan.text, sentences.scan.gap
    for event in events:
        if event.status != "negated" or event.action not in _PUTS or names.hazard_of(event.part) == "electric":
            continue
        start, _ = sentences.units(event)
        first, stop = sentences.bounds(start)
        off = next((at for at in range(start, stop - 2) if text[at] in _IS and text[at + 1] == "not"
                    and text[at + 2] in _ON), -1)  # fmt: skip
        ends = off >= 0 and (off + 3 >= len(text) or gap[off + 3] or text[off + 3] == "yet")
        if ends and not {"if", "when", "so", "make", "check", "you", "it"} & set(text[first:off]):
            yield loose_end("not_closed" if names.is_cover(event.part) else "promised", event)
