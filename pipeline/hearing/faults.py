"""Faults that speech recognisers are known for, told from real speech. Whatever is dropped is said in a finding.

Loops and invented text over noise are described in the literature on Whisper (Radford et al. 2022, section 4.5;
Koenecke et al. 2024, "Careless Whisper"); the thresholds are ours, measured on our recordings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.records import Finding, Word
from pipeline.times import ms_to_clock
from pipeline.tokens import bare

# A phrase of n words is a loop when it follows itself this often. People do say "no no no" and count strokes.
_LOOP_REPEATS = {1: 6, 2: 5, 3: 4}
_LOOP_REPEATS_LONG = 3
_LONGEST_LOOP = 15
# Nobody speaks faster than this for long; a loop that does is invented even when it is short.
_FASTEST_MS_PER_WORD = 90
_LONGEST_WORD_MS = 1_600
_NO_SPEECH = 0.6
_LOW_LOG_PROBABILITY = -1.0
_GUESSED = 0.12


def drop_repeats(words: Sequence[Word]) -> tuple[list[Word], list[Finding]]:
    """Keeps the first of a phrase that repeats itself over and over."""
    keys = [bare(word.text) for word in words]
    kept: list[Word] = []
    findings: list[Finding] = []
    index = 0
    while index < len(words):
        length, times = _loop_at(keys, index)
        if length and _is_invented(words[index : index + length * times], length, times):
            phrase = " ".join(word.text for word in words[index : index + length])
            findings.append(
                Finding(
                    "check",
                    "repeated-text",
                    f"The recogniser wrote “{phrase}” {times} times in a row; once is kept. Listen at "
                    f"{ms_to_clock(words[index].start_ms)}.",
                    words[index].start_ms,
                )
            )
            kept.extend(words[index : index + length])
            index += length * times
        else:
            kept.append(words[index])
            index += 1
    return kept, findings


def has_loop(texts: Sequence[str]) -> bool:
    """True where some phrase repeats itself so often that the window should be heard again."""
    keys = [bare(text) for text in texts]
    return any(_enough(*_loop_at(keys, index)) for index in range(len(keys)))


def _loop_at(keys: Sequence[str], index: int) -> tuple[int, int]:
    """Length and number of repeats of the loop that starts here, (0, 0) when there is none."""
    for length in range(1, _LONGEST_LOOP + 1):
        phrase = keys[index : index + length]
        if len(phrase) < length or not any(phrase):
            break
        times = 1
        while keys[index + times * length : index + (times + 1) * length] == phrase:
            times += 1
        if times >= 2 and (_enough(length, times) or length >= 4):
            return length, times
    return 0, 0


def _enough(length: int, times: int) -> bool:
    return bool(length) and times >= _LOOP_REPEATS.get(length, _LOOP_REPEATS_LONG)


def _is_invented(stretch: Sequence[Word], length: int, times: int) -> bool:
    if _enough(length, times):
        return True
    pace_ms = (stretch[-1].end_ms - stretch[0].start_ms) / len(stretch)
    return pace_ms < _FASTEST_MS_PER_WORD


def mend_times(words: Sequence[Word]) -> tuple[list[Word], list[Finding]]:
    """Words in order, none absurdly long, none ending before it starts.

    A word that lasts longer than anybody says it is dated by its end when it is the first after a pause (the
    recogniser dates such words too early), else by its start.
    """
    mended: list[Word] = []
    findings: list[Finding] = []
    for word in words:
        start_ms = max(word.start_ms, mended[-1].end_ms if mended else 0)
        end_ms = max(word.end_ms, start_ms)
        limit_ms = _LONGEST_WORD_MS + 40 * max(0, len(word.text) - 12)
        if end_ms - start_ms > limit_ms:
            after_pause = not mended or start_ms - mended[-1].end_ms > 200
            findings.append(
                Finding(
                    "note",
                    "long-word",
                    f"“{word.text}” was dated as lasting {(end_ms - start_ms) / 1000:.1f} s; its time was shortened.",
                    start_ms,
                )
            )
            if after_pause:
                start_ms = end_ms - limit_ms // 2
            else:
                end_ms = start_ms + limit_ms // 2
        mended.append(replace(word, start_ms=start_ms, end_ms=end_ms))
    return mended, findings


def is_noise_text(words: Sequence[Word], log_probability: float, no_speech: float) -> bool:
    """True where the model itself says that nobody spoke and is unsure of what it wrote, or only guessed words."""
    if not words:
        return False
    guessed = sum(word.probability < _GUESSED for word in words) / len(words)
    return (no_speech > _NO_SPEECH and log_probability < _LOW_LOG_PROBABILITY) or guessed > 0.7
