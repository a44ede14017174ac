"""What is put to the sound: several wordings for one stretch of words, and the short context they are heard in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.records import Word

# A context reaches this far beyond the contested words where no pause ends it earlier.
_BEFORE_MS, _AFTER_MS = 1_400, 1_000
_MOST_BEFORE, _MOST_AFTER = 4, 3
_PAUSE_MS = 250
_MARGIN_MS = 350
_LONGEST_MS = 8_000
# Two contests are heard in one context when that makes it no longer than this many times the longer one of theirs:
# every wording is scored over the whole context.
_GROWS = 1.2


@dataclass(frozen=True, slots=True)
class Contest:
    """Wordings for words `start_word`..`end_word`; the first is the one that was heard.

    `value` says how much an answer is worth: contests worth little are left out when the time is up. `with_prior`:
    what the wordings are worth without sound is wanted too.
    """

    start_word: int
    end_word: int
    wordings: tuple[str, ...]
    value: float
    with_prior: bool = True


@dataclass(frozen=True, slots=True)
class Context:
    """Words `start_word`..`end_word` with their sound from `start_ms` to `end_ms`: what is encoded once."""

    start_word: int
    end_word: int
    start_ms: int
    end_ms: int

    @property
    def duration_ms(self) -> int:
        """Length of its sound."""
        return self.end_ms - self.start_ms

    def joined(self, other: Context) -> Context:
        """The context that holds both."""
        return Context(
            min(self.start_word, other.start_word),
            max(self.end_word, other.end_word),
            min(self.start_ms, other.start_ms),
            max(self.end_ms, other.end_ms),
        )


def cut_context(words: Sequence[Word], start_word: int, end_word: int, duration_ms: int) -> Context:
    """The sound around a stretch of words, cut at pauses, else between words."""
    first = start_word
    while first > 0 and start_word - first < _MOST_BEFORE:
        pause_ms = words[first].start_ms - words[first - 1].end_ms
        if words[start_word].start_ms - words[first - 1].start_ms > _BEFORE_MS or pause_ms >= _PAUSE_MS:
            break
        first -= 1
    last = end_word
    while last < len(words) and last - end_word < _MOST_AFTER:
        pause_ms = words[last].start_ms - words[last - 1].end_ms
        if words[last].end_ms - words[end_word - 1].end_ms > _AFTER_MS or pause_ms >= _PAUSE_MS:
            break
        last += 1
    start_ms, end_ms = words[first].start_ms - _MARGIN_MS, words[last - 1].end_ms + _MARGIN_MS
    if first > 0:
        start_ms = max(start_ms, (words[first - 1].end_ms + words[first].start_ms) // 2)
    if last < len(words):
        end_ms = min(end_ms, (words[last - 1].end_ms + words[last].start_ms) // 2)
    start_ms = max(0, min(start_ms, duration_ms - 1))
    return Context(first, last, start_ms, min(duration_ms, max(end_ms, start_ms + 1), start_ms + _LONGEST_MS))


def share_contexts(
    words: Sequence[Word], contests: Sequence[Contest], duration_ms: int
) -> list[tuple[Context, list[Contest]]]:
    """Each contest with its context. Neighbours share one where it costs hardly more than theirs."""
    shared: list[tuple[Context, list[Contest]]] = []
    for contest in sorted(contests, key=lambda item: (item.start_word, item.end_word)):
        context = cut_context(words, contest.start_word, contest.end_word, duration_ms)
        if shared:
            before, group = shared[-1]
            joined = before.joined(context)
            if joined.duration_ms <= min(_LONGEST_MS, _GROWS * max(before.duration_ms, context.duration_ms)):
                shared[-1] = (joined, [*group, contest])
                continue
        shared.append((context, [contest]))
    return shared


def wording_in(words: Sequence[Word], start_word: int, end_word: int, contest: Contest, wording: str) -> str:
    """The text of words `start_word`..`end_word` with `wording` in the contested place."""
    before = [word.text for word in words[start_word : contest.start_word]]
    after = [word.text for word in words[contest.end_word : end_word]]
    return " ".join([*before, *wording.split(), *after])
