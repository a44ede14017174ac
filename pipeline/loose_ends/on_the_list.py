"""What is on a list of the speaker's: parts to buy or on order, however many, and jobs promised to somebody."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pipeline.events.phrase import Phrase
from pipeline.events.reading import SENTENCE
from pipeline.loose_ends.said import told_end
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.topics import Topic, Topics
from pipeline.records import LooseEnd

_NOT_SO = frozenset(("if", "you", "was", "were", "had", "did", "not", "never", "no", "would", "he", "she", "they"))
# "I've got to get the seal out": nothing is bought.
_WORKED = frozenset((
    "out", "off", "on", "in", "up", "down", "back", "apart", "to", "done", "ready", "tight", "straight", "right",
    "loose", "clean", "into", "onto", "through", "over", "away", "home", "from", "going", "moving",
))  # fmt: skip
_ONE_MORE = frozenset(("a", "an", "some", "another", "one", "two", "three", "four"))
_JOINS = frozenset(("and", "or", "plus", "also"))
_NO_PART = frozenset(("press", "kit", "tool", "hand", "look", "minute", "lift", "help", "idea", "feel", "go", "light"))
_TELLS = frozenset(("promised", "said", "told"))
_MINE, _WOULD = frozenset(("i", "we")), frozenset(("would", "'d", "will"))
_DID = frozenset(("did", "done", "have"))
_KEPT = frozenset(("like", "as", "what", "if", "never", "not", "you"))
_REACH = 6  # units


def find_listed(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """Waiting and promised, in words that leave no doubt."""
    yield from _ordered(sentences, topics)
    yield from _promised(sentences, topics)
    yield from _new_ones(sentences, topics)


def place_behind(sentences: Sentences, topic: Topic, at: int) -> Topic:
    """ "Caliper seals | for the rear": where they are to go, said behind their name."""
    text, rules = sentences.scan.text, sentences.rules
    if text[at : at + 2] not in (["for", "the"], ["on", "the"]) or at + 2 >= len(text):
        return topic
    hit, where = rules.side.at(text, at + 2), rules.position.at(text, at + 2)
    side, position = hit[1] if hit else "", where[1] if where else ""
    return replace(topic, side=topic.side or side, position=topic.position or position)


def _ordered(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "I've ordered two wheel bearings, a head gasket and a chain", "I'm going to need a coil"."""
    scan = sentences.scan
    for cue in ("ordered", "to_buy"):
        for start, end in sentences.cues(cue):
            first, stop = sentences.bounds(start)
            if _NOT_SO & {*sentences.lead(start)} or not _MINE & {*scan.text[max(first, start - 3) : start + 1]}:
                continue
            if any(first <= at < stop for at, _ in sentences.cues("has_come")):
                continue
            for phrase in _items(sentences, topics, end):
                bought = phrase.determiner in _ONE_MORE or phrase.condition == "new" or bool(phrase.count)
                if cue == "ordered" or bought:
                    topic = place_behind(sentences, topics.of_phrase(phrase), phrase.end)
                    yield told_end("waiting", topic, sentences, start, phrase.end, "fit")


def _items(sentences: Sentences, topics: Topics, at: int) -> Iterator[Phrase]:
    """The parts named from a unit on, one behind the other."""
    scan = sentences.scan
    while True:
        phrase = scan.starting.get(at)
        if phrase is None or not topics.is_topic(phrase) or phrase.head in _NO_PART or phrase.end in scan.verbs:
            return
        behind = scan.text[phrase.end : phrase.end + 1]
        if behind and not scan.gap[phrase.end] and behind[0] in _WORKED:
            return
        yield phrase
        at = phrase.end
        while at < len(scan.text) and scan.gap[at] < SENTENCE and scan.text[at] in _JOINS:
            at += 1
        if at == phrase.end and not (at < len(scan.text) and 0 < scan.gap[at] < SENTENCE):
            return


def _promised(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "I promised Dave I'd look at the wheel bearings", "I said to the owner I'd grease the tailstock"."""
    scan, text = sentences.scan, sentences.scan.text
    for at, word in enumerate(text):
        first, stop = sentences.bounds(at)
        lead = {*text[max(first, at - 3) : at]}
        if word not in _TELLS or not _MINE & lead or _KEPT & lead:
            continue
        would = next(
            (
                spot for spot in range(at + 1, min(at + 1 + _REACH, stop - 1))
                if text[spot] in _MINE and text[spot + 1] in _WOULD
            ),
            -1,
        )  # fmt: skip
        verb = scan.verbs.get(would + 2) if would > at else None
        topic = topics.object_of(verb[0]) if verb is not None else None
        if verb is None or topic is None or "but" in text[would:stop] or _DID & {*text[verb[0] : stop]}:
            continue
        action = next((plain for each in verb[1] if (plain := sentences.rules.plain.get(each.lemma))), "")
        phrase = scan.starting.get(verb[0])
        end = phrase.end if phrase is not None else verb[0]
        yield told_end("promised", replace(topic, event=None), sentences, max(first, at - 1), end, action)


def _new_ones(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "Two of the studs are stretched so I'll be needing new ones": what the sentence is about is to be replaced."""
    text = sentences.scan.text
    for start, end in sentences.cues("new_ones"):
        first, _ = sentences.bounds(start)
        topic, mine = topics.subject(start), _MINE & {*text[max(first, start - 3) : start + 1]}
        if topic is None or not mine or _NOT_SO & {*sentences.lead(start)}:
            continue
        yield told_end("promised", topic, sentences, max(first, min(start, topic.at)), end, "renew")
