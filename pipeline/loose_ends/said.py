"""Loose ends told in words that are no event: "I'll do that later", "it hasn't turned up"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.events.phrase import Phrase
from pipeline.loose_ends.sentences import Sentences
from pipeline.records import Event, LooseEnd, PartMention

_NOT_TIGHT = frozenset(("tight", "loose", "fingertight", "hand", "threads", "snug", "started", "caught"))
_DOING = frozenset(("do", "doing", "sort", "finish", "tackle", "attack"))
_WILL = frozenset(("will", "going", "need", "have", "has", "got", "needs", "wants", "must", "to", "be"))


def find_said(events: Sequence[Event], mentions: Sequence[PartMention], sentences: Sentences) -> Iterator[LooseEnd]:
    """Waiting, promised, loose and one-sided, by their cues."""
    last = _Last(events, mentions)
    yield from _waiting(sentences, last)
    yield from _arriving(sentences)
    yield from _empty(sentences, last)
    yield from _promised(sentences, last)
    yield from _loose(sentences, last)
    yield from _one_side(sentences, last)


class _Last:
    """Which part was the matter before a word."""

    def __init__(self, events: Sequence[Event], mentions: Sequence[PartMention]) -> None:
        self._talked: list[tuple[int, Event | PartMention]] = sorted(
            [
                *((event.start_word, event) for event in events),
                *((mention.start_word, mention) for mention in mentions),
            ],
            key=lambda pair: pair[0],
        )

    def before(self, word: int) -> Event | PartMention | None:
        """The event or mention that starts last before an original word."""
        return next((talk for start, talk in reversed(self._talked) if start <= word), None)


def _end(
    kind: str, part: Phrase | Event | PartMention, sentences: Sentences, start: int, end: int, action: str = ""
) -> LooseEnd:
    said, start_word, end_word, start_ms = sentences.told(start, end)
    name = part.name if isinstance(part, Phrase) else part.part
    event = part.id if isinstance(part, Event) else ""
    return LooseEnd(kind, name, said, start_ms, "", None, part.side, part.position, start_word, end_word, event, action)


def _waiting(sentences: Sentences, last: _Last) -> Iterator[LooseEnd]:
    text = sentences.scan.text
    for start, end in sentences.cues("waiting"):
        forward = text[end - 1] in ("for", "on", "order", "ordered", "of") and text[start] not in ("on",)
        phrase = sentences.part_after(end) if forward else None
        if forward and (end >= len(text) or sentences.scan.gap[end] or (phrase is not None and phrase.is_pronoun)):
            phrase, forward = None, False
        if phrase is not None and text[phrase.end : phrase.end + 1] == ["to"]:
            continue
        part: Phrase | Event | PartMention | None = phrase if phrase is not None and phrase.is_part else None
        if part is None and not forward:
            part = sentences.part_before(start, 12)
        if part is None:
            part = last.before(sentences.told(start, end)[1])
        if part is not None:
            stop = phrase.end if phrase is not None else end
            yield _end("waiting", part, sentences, max(0, start), stop, "fit")


def _empty(sentences: Sentences, last: _Last) -> Iterator[LooseEnd]:
    """ "the differential is still empty"."""
    for start, end in sentences.cues("empty"):
        part = sentences.part_before(start, 6) or last.before(sentences.told(start, end)[1])
        if part is not None:
            yield _end("not_closed", part, sentences, start, end, "fill")


def _arriving(sentences: Sentences) -> Iterator[LooseEnd]:
    """ "I'll do that when the casing arrives"; where something comes off again for it, that is the loose end."""
    text = sentences.scan.text
    for at, word in enumerate(text):
        if word not in ("when", "until", "once", "till"):
            continue
        phrase = sentences.part_after(at + 1)
        if phrase is None or not phrase.is_part or phrase.start != at + 1:
            continue
        comes = text[phrase.end : phrase.end + 2]
        if comes[:1] not in (["arrives"], ["arrive"]) and comes not in (
            ["turns", "up"],
            ["gets", "here"],
            ["comes", "in"],
        ):
            continue
        start, end = sentences.bounds(at)
        if not {"again", "back"} & set(text[start:end]):
            yield _end("waiting", phrase, sentences, at, phrase.end + 1, "fit")


def _promised(sentences: Sentences, last: _Last) -> Iterator[LooseEnd]:
    """ "I'll do that later": the job is the one talked about."""
    text = sentences.scan.text
    for at in range(1, len(text)):
        if text[at] not in _DOING or text[at - 1] not in _WILL | {"to", "also", "just"}:
            continue
        phrase = sentences.part_after(at + 1)
        start, end = sentences.bounds(at)
        later = any(start <= cue < end for cue, _ in sentences.cues("deferred")) or any(
            word in ("when", "once", "after") for word in text[at:end]
        )
        if not later or phrase is None or phrase.start != at + 1:
            continue
        part: Phrase | Event | PartMention | None = phrase if phrase.is_part else None
        if part is None and phrase.is_pronoun:
            part = sentences.part_before(at, 10) or last.before(sentences.told(at, at + 1)[1])
        if part is not None:
            action = part.action if isinstance(part, Event) and part.status in ("negated", "planned") else ""
            yield _end("promised", part, sentences, start, end, action)


def _loose(sentences: Sentences, last: _Last) -> Iterator[LooseEnd]:
    """ "it's only finger tight": said of the last part where no event says it."""
    text = sentences.scan.text
    for start, end in sentences.cues("loose"):
        before = text[max(0, start - 6) : start]
        if text[end - 1] not in _NOT_TIGHT or any(word in ("if", "was", "were") for word in before):
            continue
        if text[end - 1] == "hand" and not {"only", "just"} & set(before) and text[start] not in ("hand",):
            continue
        part = sentences.part_before(start, 6) or last.before(sentences.told(start, end)[1])
        if part is not None:
            yield _end("loose", part, sentences, start, end, "tighten")
    for at, word in enumerate(text):
        if word in ("left", "leave", "leaving"):
            phrase = sentences.part_after(at + 1)
            if phrase is not None and phrase.is_part and "loose" in text[phrase.end : phrase.end + 3]:
                yield _end("loose", phrase, sentences, at, phrase.end + 1, "tighten")


def _one_side(sentences: Sentences, last: _Last) -> Iterator[LooseEnd]:
    """ "I've only done the left", "the other side is still to do"."""
    text, rules = sentences.scan.text, sentences.rules
    for at in range(len(text)):
        if text[at] not in ("only", "just") or at + 1 >= len(text):
            continue
        start, end = sentences.bounds(at)
        clause_end = next((spot for spot in range(at + 1, end) if text[spot] in ("because", "so", "but")), end)
        done = next(
            (
                spot
                for spot in range(at + 1, min(at + 4, clause_end))
                if text[spot] in ("done", "fitted", "bolted", "torqued", "got", "the")
            ),
            None,
        )
        if done is None:
            continue
        words = " ".join(text[at:clause_end])
        tables = (rules.side, rules.position) if "so far" in words else (rules.side,)
        spots = range(done, min(done + 8, clause_end))
        side = next((hit[1] for table in tables for spot in spots if (hit := table.at(text, spot)) is not None), "")
        if not side or (text[done] == "the" and "for now" not in words and "so far" not in words):
            continue
        part = sentences.part_before(at, 8) or last.before(sentences.told(at, at + 1)[1])
        named = next(
            (
                phrase
                for phrase in sentences.scan.phrases
                if done <= phrase.start < clause_end and phrase.is_part and phrase.side
            ),
            None,
        )
        chosen = named or part
        if chosen is not None:
            found = _end("one_side_only", chosen, sentences, start, clause_end)
            yield LooseEnd(
                found.kind,
                found.part,
                found.said,
                found.start_ms,
                side=side,
                start_word=found.start_word,
                end_word=found.end_word,
            )
    for at, end in sentences.cues("other_side"):
        start, stop = sentences.bounds(at)
        if not any(word in ("still", "yet", "not", "later", "tomorrow") for word in text[start:stop]):
            continue
        part = last.before(sentences.told(at, end)[1])
        if part is not None:
            yield _end("one_side_only", part, sentences, start, stop)
