"""Doubtful corrections as questions to a person: each garble and term once, however often it was heard."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Sequence

from pipeline.correct.forms import heard_key
from pipeline.correct.language import english
from pipeline.correct.verbs import is_verb
from pipeline.records import Correction, Finding, Word
from pipeline.times import ms_to_clock
from pipeline.tokens import bare

# A question that is more likely to be wrong than right costs more than it brings: such words are marked where they
# stand, and nobody is called for them.
WORTH_ASKING = 0.5
# Of those less likely than this nine in ten are wrong: they stay in log.json, and no page shows them.
WORTH_MARKING = 0.15
# Words of this `English.frequency` ("not", "but", "that's") are rarely what a trade term was heard as.
EVERYDAY = 55
# A word of this `English.frequency` (one in a million) is no garble of one that nobody knows.
_KNOWN = 30
_WORDS_BEFORE, _WORDS_AFTER = 3, 2


# What the end of a word may be without its being another thing.
_ENDINGS = ("", "s", "es", "ed", "er", "ers", "ing")


def only_ending(heard: str, written: str) -> bool:
    """True where the wordings, or word by word all of theirs, differ by an ending or a space only: nobody needs to be
    asked which it was.

    >>> only_ending("blue threadlocker,", "blue thread lock,"), only_ending("electric start", "electric starter")
    (True, True)
    >>> only_ending("caps screws", "cap screws"), only_ending("fix cup", "fixed cup")
    (True, True)
    >>> only_ending("split pen", "split pin"), only_ending("pin", "pinion"), only_ending("caps crew", "cap screw")
    (False, False, False)
    """
    own, meant = heard.split(), written.split()
    each = len(own) == len(meant) and all(map(_ends_otherwise, own, meant))
    return each or _ends_otherwise(heard, written)


def _ends_otherwise(heard: str, written: str) -> bool:
    short, long = sorted((_letters(heard), _letters(written)), key=len)
    return long.startswith(short) and long[len(short) :] in _ENDINGS


def is_sure(words: Sequence[Word]) -> bool:
    """Whether no recogniser tells doubts of the words; somebody may have read the text."""
    return all(word.probability == 1 for word in words)


def swallows_grammar(corr: Correction) -> bool:
    """Whether the words heard hold one that makes a sentence of them ("got a ding in", "the gudgeon pin pushed out",
    "the piston's stuck") and that the term has not."""
    meant = {bare(word) for word in corr.written.split()}
    return any(_is_grammar(word) for word in map(bare, corr.heard.split()) if word not in meant)


def _is_grammar(word: str) -> bool:
    frequency = english().frequency(word)
    return frequency >= EVERYDAY or word.endswith(("'s", "’s")) or (word.endswith("ed") and frequency >= _KNOWN)


def _letters(text: str) -> str:
    return "".join(bare(word).removesuffix("'s").removesuffix("’s") for word in text.split())


def questions(corrections: Iterable[Correction]) -> dict[tuple[str, str], list[Correction]]:
    """Asked corrections by what was heard and what it may mean: the same doubt about the same words is one question."""
    asked: dict[tuple[str, str], list[Correction]] = {}
    for corr in corrections:
        if corr.decision == "ask" and not only_ending(corr.heard, corr.written):
            meant = corr.term or heard_key(corr.written.split())
            asked.setdefault((heard_key(corr.heard.split()), meant), []).append(corr)
    return asked


def marked(corrections: Iterable[Correction], words: Sequence[Word]) -> list[Correction]:
    """Those that are shown: what was made, and what is asked and not too unlikely."""
    sure = is_sure(words)
    return [
        corr for corr in corrections
        if corr.decision == "auto"
        or (corr.decision == "ask" and corr.score >= _least(corr, sure) and not (sure and swallows_grammar(corr)))
    ]  # fmt: skip


def _least(corr: Correction, sure: bool) -> float:
    """How likely a question must be to be shown: where doubts are rarely right, likelier than not."""
    everyday = all(english().frequency(word) >= EVERYDAY for word in heard_key(corr.heard.split()).split())
    return WORTH_ASKING if sure or everyday else WORTH_MARKING


def is_worth_asking(question: Iterable[Correction]) -> bool:
    """True where at least one place of the question is more likely right than wrong."""
    return max(corr.score for corr in question) >= WORTH_ASKING


def neighbours(corr: Correction, words: Sequence[Word], before: int, after: int) -> tuple[str, str]:
    """So many words heard before and after a correction, without which nobody can judge it."""
    led = words[max(0, corr.start_word - before) : corr.start_word]
    followed = words[corr.end_word : corr.end_word + after]
    return " ".join(word.text for word in led), " ".join(word.text for word in followed)


def correction_findings(corrections: Sequence[Correction], words: Sequence[Word]) -> list[Finding]:
    """One finding for each different question, at the time it comes up first, with the command that answers it.

    A figure or its unit is no word to be learned: the sound answers.
    """
    findings = []
    for (heard, term), group in questions(marked(corrections, words)).items():
        start_ms = words[group[0].start_word].start_ms
        more = f" (and {len(group) - 1} more)" if len(group) > 1 else ""
        before, after = neighbours(group[0], words, _WORDS_BEFORE, _WORDS_AFTER)
        around = " ".join(filter(None, (before, group[0].heard, after)))
        learn = f" If so: witnessmark vocab learn accept {shlex.quote(heard)} {shlex.quote(term)}"
        findings.append(
            Finding(
                "check" if is_worth_asking(group) else "note",
                "ask",
                f"Did you say “{group[0].written}” where “{group[0].heard}” was heard"
                f" (“{around}”), at {ms_to_clock(start_ms)}{more}?{learn if group[0].term or is_verb(term) else ''}",
                start_ms,
            )
        )
    return findings
