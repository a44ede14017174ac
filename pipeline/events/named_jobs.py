"""Jobs that are named and not told: "Remaining work: brake bleeding, wheel fitting.", "Greasing isn't done yet."."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pipeline.events.clauses import left_headings, sentence_around
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.rules import ACTIONS, Rules

NAMED_JOB = "named job"
"""The voice of a job that a noun names."""

_LONGEST, _ITEM, _JOINS = 40, 4, frozenset(("and", "then", "plus", "also", "or"))
_LEAD = frozenset(("the", "a", "and", "then", "plus", "also", "some", "all", "still", "but", "so", "just"))
_TELLERS = frozenset(("i", "we", "you", "he", "she", "they"))
_NOT_DONE = (
    ("is", "not", "done"), ("has", "not", "been", "done"), ("is", "not", "finished"), ("is", "still", "not", "done"),
    ("still", "is", "not", "done"), ("not", "done"), ("'s", "not", "done"), ("still", "not", "done"),
    ("has", "not", "happened"), ("'s", "still", "not", "done"), ("is", "not", "started"), ("not", "started"),
)  # fmt: skip
_ENDS = frozenset(("yet", "either", "though", "so", "because", "and", "but", "as", "still", "today"))


def named_jobs(rules: Rules, scan: Scan) -> Iterator[Predicate]:
    """A proposal for each: planned in a list of what is left, negated where it is said not to be done."""
    left = left_headings(scan, rules)
    left.update({at: hit[0] for at in range(len(scan.text)) if (hit := rules.left_to_do.at(scan.text, at))})
    told: set[int] = set()
    for start in sorted(left.values()):
        for first, end in _items(scan, start):
            if end - 1 not in told and (job := _job(rules, scan, first, end)):
                told.add(end - 1)
                yield replace(job, status="planned", trigger="what is left to do")
    for at in range(1, len(scan.text)):
        said = next((words for words in _NOT_DONE if tuple(scan.text[at : at + len(words)]) == words), None)
        if said is None or at - 1 in told or (scan.gap[at] and said[0] != "not"):
            continue
        end = at + len(said)
        closed = end >= len(scan.text) or scan.gap[end] > 0 or scan.text[end] in _ENDS
        first = at - 1
        while first and not scan.gap[first] and scan.text[first - 1] not in _JOINS and at - first < _ITEM:
            first -= 1
        if closed and (job := _job(rules, scan, first, at)):
            told.add(at - 1)
            yield replace(job, end=end, status="negated", trigger="not done")


def _items(scan: Scan, start: int) -> Iterator[tuple[int, int]]:
    """(Start, end) of what stands between commas and "and" in the sentence that begins at a unit or around it."""
    if start >= len(scan.text):
        return
    end = sentence_around(scan, start)[1]
    if end - start > _LONGEST or not _TELLERS.isdisjoint(scan.text[start:end]):
        return
    first = start
    for at in range(start + 1, end + 1):
        if at == end or scan.gap[at] or scan.text[at] in _JOINS:
            yield first, at
            first = at


def _job(rules: Rules, scan: Scan, first: int, end: int) -> Predicate | None:
    """The job that the words name, of the part in front of its last word."""
    while first < end - 1 and scan.text[first] in _LEAD:
        first += 1
    at, word = end - 1, scan.text[end - 1]
    action = rules.job_nouns.get(word, "")
    if not action and word.endswith("ing") and (hit := rules.verbs.at(scan.text, at)) and hit[0] == end:
        action = next((plain for verb in hit[1] if (plain := rules.plain.get(verb.lemma))), "")
    if action not in ACTIONS or end - first > _ITEM or any(scan.gap[first + 1 : end]):
        return None
    part = _part(scan, first, at, word)
    if part is None:
        return None
    return Predicate(
        first, at, at, end, action, "", NAMED_JOB, "", None, [part], said_as=word,
    )  # fmt: skip


def _part(scan: Scan, first: int, at: int, word: str) -> Phrase | None:
    """ "Brake | bleeding": the brake; a job that names no part is called as it was."""
    if at == first:
        return Phrase(at, at + 1, word, "part", word)
    ending = scan.ending.get(at)
    if ending is not None and ending.is_part and ending.start <= first:
        return ending
    whole = scan.ending.get(at + 1)
    if whole is not None and whole.is_part and whole.start <= first and len(whole.name.split()) > 1:
        name = whole.name.rsplit(" ", 1)[0]
        return replace(whole, end=at, name=name, head=name.split()[-1], plural=False)
    return None
