"""Loose ends on one side: "I've only done the right side", "that's the offside, the nearside I'll leave"."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.loose_ends.closing import OTHER_SIDE
from pipeline.loose_ends.said import told_end
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.topics import Topic, Topics
from pipeline.records import LooseEnd

_DONE = frozenset(("done", "fitted", "bolted", "torqued", "got", "finished", "did", "bled"))
_ENDS = frozenset(("because", "so", "but"))


def find_one_sided(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """What was done on one side and is said to be open on the other."""
    yield from _only(sentences, topics)
    yield from _other_to_do(sentences, topics)


def _only(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "I've only done the right side"."""
    text = sentences.scan.text
    for at, word in enumerate(text[:-1]):
        if word not in ("only", "just"):
            continue
        first, stop = sentences.bounds(at)
        end = next((spot for spot in range(at + 1, stop) if text[spot] in _ENDS), stop)
        words = set(text[at:end])
        so_far = "far" in words or ("now" in words and "for" in words)
        if not _DONE & set(text[at + 1 : at + 4]) and not so_far:
            continue
        side, spot = _side_in(sentences, at + 1, min(at + 9, end), so_far)
        if not side:
            continue
        named = sentences.scan.starting.get(spot) or next(
            (p for p in sentences.scan.phrases if at < p.start <= spot < p.end), None
        )
        topic = (
            topics.of_phrase(named) if named is not None and topics.is_topic(named) else _done_there(topics, at, side)
        )
        if topic is not None:
            yield told_end("one_side_only", topic, sentences, first, end, "", side)


def _other_to_do(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "the left one is all still to do", "passenger side tomorrow"."""
    text, scan = sentences.scan.text, sentences.scan
    taken = -1
    for at in range(len(text)):
        hit = sentences.rules.side.at(text, at)
        other = sentences.rules.cues["other_side"].at(text, at)
        if (
            at < taken
            or (hit is None and other is None)
            or (hit is not None and hit[1] not in OTHER_SIDE and not other)
        ):
            continue
        first, stop = sentences.bounds(at)
        end = (hit or other or (at + 1, ""))[0]
        phrase = next((p for p in scan.phrases if p.start <= at < p.end), None)
        if hit is not None and not other and not _names_a_side(sentences, at, end, phrase is not None):
            continue
        # what is open follows the side in its own sentence, or stands right before it: "I've not done the left"
        reach = next((spot for spot in range(end, min(stop, end + 12)) if sentences.rules.side.at(text, spot)), stop)
        reach = min(reach, end + 12)
        before = range(max(first, at - 6), at)
        cue = sentences.rules.cues["side_open"]
        opened = any(cue.at(text, spot) for spot in range(end, reach)) or any(
            (found := cue.at(text, spot)) is not None and found[0] <= at and text[spot] in ("have", "not", "still")
            for spot in before
        )
        opened = opened or _is_not(sentences, end)
        undone = any(
            text[spot] in ("have", "has")
            and text[spot + 1 : spot + 2] == ["not"]
            and ({spot + 2, spot + 3} & scan.verbs.keys())
            for spot in range(end, reach)
        )
        if not (opened or undone) or {"was", "were", "if", "when"} & set(text[max(first, at - 4) : at]):
            continue
        side = OTHER_SIDE[hit[1]] if hit is not None and hit[1] in OTHER_SIDE else ""
        named = topics.of_phrase(phrase) if phrase is not None and topics.is_topic(phrase) else None
        done = _done_there(topics, at, side)
        topic = named or done
        if not opened and named is None and (done is None or done.event is None or done.side != side):
            continue
        if topic is not None and (done is not None or (named is not None and topics.is_paired(named.name))):
            taken = stop
            yield told_end("one_side_only", topic, sentences, first, stop, "", side or (done.side if done else ""))


def _is_not(sentences: Sentences, end: int) -> bool:
    """ "the right one isn't", with nothing after it."""
    text, gap = sentences.scan.text, sentences.scan.gap
    if text[end : end + 1] in (["one"], ["ones"], ["side"]):
        end += 1
    done = text[end : end + 2] in (["is", "not"], ["are", "not"], ["has", "not"], ["have", "not"])
    return done and (end + 2 >= len(text) or gap[end + 2] > 0)


def _names_a_side(sentences: Sentences, at: int, end: int, in_phrase: bool) -> bool:
    """ "the left one", "nearside": not the "right" that opens a sentence nor the "left" of leaving."""
    text = sentences.scan.text
    if end > at + 1 or text[at] not in ("right", "left"):
        return True
    before = text[at - 1] if at else ""
    return before in ("the", "rear", "front", "back", "top", "bottom") or (before in ("on", "other") and in_phrase)


def _side_in(sentences: Sentences, start: int, end: int, places: bool) -> tuple[str, int]:
    """(side, unit) said within some units; with `places` the front and the rear count as sides."""
    tables = (sentences.rules.side, sentences.rules.position) if places else (sentences.rules.side,)
    for table in tables:
        for spot in range(start, end):
            hit = table.at(sentences.scan.text, spot)
            if hit is not None and hit[1] in OTHER_SIDE:
                return hit[1], spot
    return "", start


def _done_there(topics: Topics, at: int, side: str) -> Topic | None:
    """The part that was just done on a side; where nothing fits, the last part there is two of."""
    whole = topics.whole(at, side)
    if whole is not None:
        return whole
    sided = [talk for talk in topics.all() if at - 60 < talk.at < at and side and talk.side == side]
    sided = (
        [talk for talk in sided if topics.is_paired(talk.name)] or [talk for talk in sided if not talk.event] or sided
    )
    return sided[-1] if sided else topics.before(at, paired=True)
