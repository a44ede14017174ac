"""Lists of jobs that are left: "So, what's left. The belt, the guard.", "Next time, the magneto and the fuel tank"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.events.clauses import left_headings
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.reading import SENTENCE
from pipeline.loose_ends.follows import loose_end
from pipeline.loose_ends.said import told_end
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.topics import Topics
from pipeline.records import Event, LooseEnd

_BE = frozenset(("is", "are", "'s", "was", "were", "be"))
_ASKS = frozenset(("what", "that", "all", "which", "this", "jobs", "things", "list", "thing", "there"))
_NONE = frozenset(("nothing", "not", "no", "none", "never", "if", "was", "were", "had", "little", "hardly"))
_BEFORE_LIST = frozenset((
    "is", "are", "'s", "to", "do", "then", "now", "on", "for", "so", "still", "just", "well", "be",
))  # fmt: skip
# What may stand before an item of a list.
_BEFORE_ITEM = frozenset((
    "and", "then", "also", "plus", "of", "course", "obviously", "maybe", "so", "still", "just", "or", "well", "oh",
    "er", "um", "fit", "do", "doing", "sort", "finish", "number", "with", "as", "there", "is", "'s", "got", "to",
))  # fmt: skip
_TELLERS = frozenset(("i", "we", "you", "he", "she", "they", "thank", "thanks", "cheers", "let", "see"))
_FINISHED = frozenset(("done", "finished", "sorted", "fine", "lovely", "tight", "good"))
# What is still open with a part while it does so.
_WANTING = frozenset(("missing", "leaking", "waiting", "hanging", "needing", "wanting", "slipping", "binding"))
JOINS = frozenset(("and", "or", "nor", "plus"))
# What is no job where it stands alone in a list: what it is done with.
_NO_JOB = frozenset(("tool", "fluid", "material", "measure"))
_NOT_WORK = frozenset((
    "tea", "cup", "coffee", "home", "bed", "lunch", "dinner", "supper", "breakfast", "pub", "shop", "day", "weekend",
    "evening", "morning", "night", "week", "rest", "lot", "bit", "time", "money", "courage", "nerve", "luck", "photo",
))  # fmt: skip
_LONGEST_ITEM, _LONGEST_JOB = 9, 16  # units


def list_of_jobs(events: Sequence[Event], sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "So, what's left. The belt, the guard and the little lamp." """
    text, gap = sentences.scan.text, sentences.scan.gap
    for end in left_headings(sentences.scan, sentences.rules).values():
        yield from _told_jobs(events, sentences, end)
        for item in _items(sentences, topics, end):
            if item.head not in sentences.rules.job_nouns:
                yield _job(sentences, topics, item)
    for event in events:
        if event.status == "negated" and event.why.endswith("; not done"):
            yield loose_end("promised", event)
    for start, end in sentences.cues("left_list"):
        lead = sentences.lead(start)
        if _NONE & set(lead) or (end < len(text) and not gap[end] and text[end] in ("of", "in", "from", "over")):
            continue
        if text[start - 1 : start] and text[start - 1] in _BE and not _ASKS & set(lead):
            continue  # "the belt is still to do" has its list before it
        at = end
        while at < len(text) and text[at] in _BEFORE_LIST:
            at += 1
        yield from _told_jobs(events, sentences, end)
        for item in _items(sentences, topics, at):
            yield _job(sentences, topics, item)


def _told_jobs(events: Sequence[Event], sentences: Sentences, at: int) -> Iterator[LooseEnd]:
    """ "What have I still got to do. Find the screw. Set the preload." and on until somebody acts."""
    text, gap = sentences.scan.text, sentences.scan.gap
    while at < len(text):
        stop = at + 1
        while stop < len(text) and gap[stop] < SENTENCE:
            stop += 1
        if _TELLERS & set(text[at:stop]) or stop - at > _LONGEST_JOB:
            return
        for event in events:
            if event.status in ("planned", "advised") and at <= sentences.units(event)[0] < stop:
                yield loose_end("promised", event)
        at = stop


def next_time(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "Next time, the magneto and the fuel tank": a sentence that tells when and what, and no more."""
    scan = sentences.scan
    for start, end in sentences.cues("next_list"):
        first, stop = sentences.bounds(start)
        if start - first > 1 or end >= stop or scan.text[end] in ("i", "we", "you", "when"):
            continue
        items = list(_items(sentences, topics, end, stop, known=True))
        if items and not any(end <= at < items[0].end + 2 for at in scan.verbs):
            for item in items:
                yield _job(sentences, topics, item)


def _items(
    sentences: Sentences, topics: Topics, at: int, limit: int = -1, known: bool = False
) -> Iterator[Phrase]:  # fmt: skip
    """The parts of a list that begins at a unit, on over further sentences that are but items too; only the `known`
    ones, or what stands alone as well."""
    scan = sentences.scan
    text, gap = scan.text, scan.gap
    limit = len(text) if limit < 0 else limit
    sentence = 0
    while at < limit:
        stop = at + 1
        while stop < limit and not gap[stop] and text[stop] not in JOINS:
            stop += 1
        first = at
        while first < stop and text[first] in _BEFORE_ITEM and first not in scan.starting:
            first += 1
        phrase = scan.starting.get(first)
        alone = not known and phrase is not None and phrase.end == stop and _is_thing(phrase, sentences)
        named = phrase is not None and (alone or topics.is_topic(phrase)) and stop - at <= _LONGEST_ITEM
        told = _TELLERS & set(text[at:stop])
        if phrase is not None and (_is_doing(text[phrase.end : phrase.end + 2]) or _opens_a_deed(scan, first, stop)):
            return
        if phrase is not None and named and not told and not _FINISHED & set(text[phrase.end : stop]):
            yield phrase
        elif told or sentence or text[first : first + 1] not in (["which"], ["that"], ["because"], []):
            ended = stop
            while ended < limit and gap[ended] < SENTENCE:
                ended += 1
            if sentence or ended >= limit or not _goes_on(sentences, topics, stop, ended):
                return
        at, sentence = stop, 1 if stop < len(text) and gap[stop] == SENTENCE else sentence


def _is_thing(phrase: Phrase, sentences: Sentences) -> bool:
    """ "guard", not "brake bleeding", which names a job, and not what it is done with."""
    work = phrase.is_part and phrase.kind not in _NO_JOB and phrase.head not in _NOT_WORK
    return work and sentences.rules.verbs.at([phrase.head], 0) is None


def _is_doing(words: Sequence[str]) -> bool:
    """ "... the lights, ah, the battery | is flashing": something happens, and the list is over."""
    return len(words) > 1 and words[0] in _BE and words[1].endswith("ing") and words[1] not in _WANTING


def _opens_a_deed(scan: Scan, first: int, stop: int) -> bool:
    """ "... and a test ride. | The speedo drive, I took that off": the list is over, and work is told."""
    behind = scan.text[stop : stop + 2]
    return (
        scan.gap[first] >= SENTENCE and len(behind) > 1 and behind[0] in _TELLERS and stop + 1 in scan.verbs
        and scan.gap[stop] < SENTENCE
    )  # fmt: skip


def _goes_on(sentences: Sentences, topics: Topics, at: int, end: int) -> bool:
    """True where another item stands in the same sentence."""
    scan = sentences.scan
    return any(
        topics.is_topic(phrase) and (scan.gap[phrase.start] or scan.text[phrase.start - 1] in JOINS)
        for phrase in scan.phrases_in(at, end)
    )


def _job(sentences: Sentences, topics: Topics, phrase: Phrase) -> LooseEnd:
    event = topics.event_at(phrase)
    action = event.action if event is not None and event.status == "planned" else ""
    return told_end("promised", topics.of_phrase(phrase), sentences, phrase.start, phrase.end, action)
