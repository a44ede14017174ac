"""Text that no sound supports: runs of doubted words that the recording makes no likelier than silence would."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.records import Finding, Word
from pipeline.second_hearing.contests import Contest
from pipeline.second_hearing.ears import Heard
from pipeline.times import ms_to_clock

_DOUBTED = 0.4
_FEWEST = 3
# Nats a piece of text by which the sound must make the words likelier than noise does. Words that were said, even
# misheard ones, gain far more.
_LEAST_GAIN = 0.3


def doubted_runs(words: Sequence[Word], most: int) -> list[Contest]:
    """The longest runs of at least three words that were heard with low probability, to be heard again as they are."""
    runs, at = [], 0
    while at < len(words):
        end = at
        while end < len(words) and words[end].probability < _DOUBTED:
            end += 1
        if end - at >= _FEWEST:
            runs.append(Contest(at, end, (" ".join(word.text for word in words[at:end]),), float(end - at)))
        at = max(end, at + 1)
    return sorted(runs, key=lambda run: -run.value)[:most]


def unsupported_findings(words: Sequence[Word], heard: Sequence[Heard]) -> list[Finding]:
    """A finding for each run that the sound does not bear out."""
    findings = []
    for item in heard:
        pieces = sum(word.tokens for word in item.forced[0])
        gain = (item.nats(0) - item.priors[0]) / max(1, pieces)
        if gain < _LEAST_GAIN:
            start_ms = words[item.contest.start_word].start_ms
            message = (
                f"Nothing in the sound speaks for “{item.contest.wordings[0]}”: it was misheard or made up. "
                f"Listen at {ms_to_clock(start_ms)}."
            )
            findings.append(Finding("check", "unsupported_text", message, start_ms))
    return findings
