"""Rows to fit correction on: features of pairs of a heard window and a form of a term, and whether it was said there.

Several vocabularies: all packs with mined hearings, packs with a third of the terms missing, short plain lists. With
and without the recogniser's probabilities. The test sets, their voices and their terms are never read.
"""

from __future__ import annotations

import gzip
import json
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import count_talk
import numpy as np
from heard_sets import (
    Text,
    english_texts,
    heard_terms,
    narrations,
    sentence_texts,
    share_of,
    smaller,
    without_probabilities,
)
from heard_terms import HELD_OUT, bucket
from numpy.typing import NDArray

from pipeline.correct.features import FEATURES, Pairs
from pipeline.correct.matcher import Matcher, build_matcher
from pipeline.correct.number import signs
from pipeline.correct.search import find_pairs
from pipeline.correct.talk import usualness
from pipeline.correct.windows import prepare
from pipeline.score.align import align, comparable
from pipeline.score.measure import term_mentions
from pipeline.vocabulary import list_vocabulary, load_vocabulary, shipped_hearings

# The few carrier sentences say nothing about these; their values are drawn from the pairs of whole narrations.
OF_NARRATIONS = (
    "topic", "said_elsewhere", "cue", "odd_outside", "odd_after", "plural_clash", "pack", "assembly", "talk_before",
    "talk_after", "workshop",
)  # fmt: skip

Floats = NDArray[np.floating[Any]]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Rows:
    """Pairs of one text. `kind`: narration, sentence or english, and the vocabulary. `labels`: 1 said there, 0 not,
    -1 neither (another window for the term that was said). `garbled`: mentions to be found, with or without a pair.
    `group`: which fold the text belongs to. `signs`, `many`: of the pairs that are right, see `number`."""

    kind: str
    group: int
    pairs: Pairs
    labels: Ints
    term: Ints
    garbled: int
    signs: Floats
    many: Floats


def mentions(text: Text, matcher: Matcher) -> list[tuple[int, int, int]]:
    """Heard words (start, end) that stand for a term and were not heard right, with the form that was said there."""
    said = comparable(text.reference)
    heard, owner = [], []
    for number, word in enumerate(text.words):
        for piece in comparable(word.text):
            heard.append(piece)
            owner.append(number)
    alignment = align(said, heard)
    found = []
    for start, end in term_mentions(said, matcher):
        low, high = alignment.heard_span(start, end)
        if high > low and heard[low:high] != said[start:end]:
            found.append((owner[low], owner[high - 1] + 1, matcher.exact[tuple(said[start:end])]))
    return found


def spoken_names(text: Text, matcher: Matcher) -> list[str]:
    """Names of the terms that are said in a text, with the spelling that was said."""
    said = comparable(text.reference)
    forms = [matcher.forms[matcher.exact[tuple(said[start:end])]] for start, end in term_mentions(said, matcher)]
    return [form.text for form in forms if not form.plural]


def rows_of(kind: str, group: int, text: Text, matcher: Matcher) -> Rows:
    """Pairs of a text with their labels."""
    heard = prepare(text.words, matcher, text.breaks)
    pairs = find_pairs(heard, matcher)
    labels = np.zeros(len(pairs.start), dtype=np.int64)
    terms = matcher.form_term[pairs.form]
    garbled = 0
    numbers: list[tuple[int, bool]] = []
    for start, end, form in mentions(text, matcher):
        term = int(matcher.form_term[form])
        if any(start - 2 <= place < end for place in heard.terms_said.get(term, ())):
            continue  # heard under another of its names
        garbled += 1
        right = np.flatnonzero((pairs.start < end) & (pairs.end > start) & (terms == term)).tolist()
        labels[right] = -1
        if right:
            best = max(right, key=lambda n: _fit(pairs, n, start, end))
            labels[best] = 1
            if matcher.form_other[pairs.form[best]] >= 0:
                numbers.append((best, bool(matcher.form_plural[form])))
    some = np.array([number for number, _ in numbers], dtype=np.int64)
    return Rows(
        kind,
        group,
        replace(pairs, table=pairs.table.astype(np.float32)),
        labels,
        terms,
        garbled,
        signs(heard, matcher, pairs.start[some], pairs.end[some], pairs.form[some]),
        np.array([many for _, many in numbers], dtype=np.float64),
    )


def _fit(pairs: Pairs, number: int, start: int, end: int) -> float:
    """Of several windows for the right term, the one that sounds most alike and covers what stands for it best."""
    outside = abs(int(pairs.start[number]) - start) + abs(int(pairs.end[number]) - end)
    return float(pairs.sound[number]) - 0.05 * outside


def mined_sentences(paths: Iterable[Path], most: int, seed: int = 3) -> list[Text]:
    """Sentences by the voices that are mined, of the terms that are held out from mining for development."""
    records = []
    for path in paths:
        with gzip.open(path, "rt", encoding="utf-8") as file:
            for line in file:
                record = json.loads(line)
                if record["set"] == "mine" and bucket(record["term"]) == HELD_OUT["dev"] and record["heard"]:
                    words, probabilities = zip(*record["heard"], strict=True)
                    records.append(
                        record | {"reference": record["text"], "words": words, "probabilities": probabilities}
                    )
    random.Random(seed).shuffle(records)
    return sentence_texts(records[:most])


def gather(general: Sequence[Path], mined: Sequence[Path]) -> list[Rows]:
    """All rows there are to learn from."""
    vocabulary, hearings = load_vocabulary(), shipped_hearings()
    names = [term.name for term in vocabulary.terms]
    random.Random(2).shuffle(names)
    packs = build_matcher(vocabulary, hearings)
    fewer = [
        build_matcher(smaller(vocabulary, [t for t in vocabulary.terms if share_of(t, 3) != n]), hearings)
        for n in range(2)
    ]
    found: list[Rows] = []

    counted = count_talk.narrations()
    talk = count_talk.count_talk(counted.values())

    @cache
    def talk_without(name: str) -> dict[str, int]:
        own = [counted[each] for each in name.split("+") if each in counted]
        return count_talk.kept(talk - count_talk.count_talk(own))

    def foreign(matcher: Matcher) -> Matcher:
        """As if this was a trade that nobody has counted."""
        return replace(matcher, talk={}, term_talk=np.zeros_like(matcher.term_talk))

    def add(kind: str, texts: Sequence[Text], matcher: Matcher, groups: Sequence[int]) -> None:
        for text, group in zip(texts, groups, strict=True):
            own = matcher
            if text.name and matcher.talk:  # what is counted in this very narration is not known of a new one
                words = [form.words for form in matcher.forms]
                others = talk_without(text.name)
                usual = usualness(words, matcher.form_term, len(matcher.terms), others)
                own = replace(matcher, term_talk=usual, talk=others)
            found.append(rows_of(kind, group, text, own))
        print(f"{kind}: {len(texts)}", flush=True)

    def listed(texts: Sequence[Text], others: Sequence[str], hearings_too: bool) -> Matcher:
        """A plain list of what is said in the texts and a few more, as a user of `--terms` would have."""
        said = [said.spelling for text in texts for said in text.said]
        said += [name for text in texts if not text.said for name in spoken_names(text, packs)]
        own = dict.fromkeys(said + list(others))
        return build_matcher(list_vocabulary(own), hearings if hearings_too else None)

    whole = narrations("dev")
    silent = [without_probabilities(text) for text in whole]
    references = list(dict.fromkeys(text.reference for text in whole))
    groups = [references.index(text.reference) for text in whole]
    tuning = narrations("tuning")
    quiet = [without_probabilities(text) for text in tuning]
    names_of = list(dict.fromkeys(text.name for text in tuning))
    own_groups = [6 + names_of.index(text.name) for text in tuning]
    add("tuning packs", tuning, packs, own_groups)
    add("tuning silent", quiet[::2], packs, own_groups[::2])
    add("tuning fewer", tuning[::2], fewer[0], own_groups[::2])
    add("tuning fewer", tuning[1::2], fewer[1], own_groups[1::2])
    add("tuning list", tuning[1::2], listed(tuning, names[200:400], True), own_groups[1::2])
    add("tuning list foreign", tuning[::2], foreign(listed(tuning, names[400:500], False)), own_groups[::2])
    add("narration packs", whole, packs, groups)
    add("narration silent", silent[::2], packs, groups[::2])
    add("narration fewer", whole[1::2], fewer[0], groups[1::2])
    add("narration fewer silent", silent[::2], fewer[1], groups[::2])
    add("narration list", whole[::2], listed(whole, names[:100], True), groups[::2])
    add("narration list foreign", whole[1::4], foreign(listed(whole, names[300:500], False)), groups[1::4])
    add("narration list foreign silent", silent[3::4], foreign(listed(whole, names[500:800], False)), groups[3::4])
    for title, texts in (("sentence", heard_terms("dev")), ("mined", mined_sentences(mined, 4800))):
        silent = [without_probabilities(text) for text in texts]
        groups = [number % 6 for number in range(len(texts))]
        add(f"{title} packs", texts, packs, groups)
        add(f"{title} silent", silent[::2], packs, groups[::2])
        add(f"{title} fewer", texts[1::2], fewer[1], groups[1::2])
        for n in range(0, len(texts), 3):
            some = [*texts[n : n + 2], *silent[n + 2 : n + 3]]
            others = names[n * 30 : n * 30 + 240 + 60 * (n % 9)]
            own = listed(some, others, title == "sentence")
            if n % 2:
                add(f"{title} list foreign", some, foreign(own), groups[n : n + 3])
            else:
                add(f"{title} list", some, own, groups[n : n + 3])
    prose = [text for path in general for text in english_texts([path], 35_000)]
    groups = [number % 6 for number in range(len(prose))]
    add("english packs", prose, packs, groups)
    add("english list", prose[::2], build_matcher(list_vocabulary(names[:300])), groups[::2])
    return found


def with_context(rows: Sequence[Rows], seed: int = 3) -> list[Floats]:
    """Tables in which sentences have the context of pairs of narrations with the same label, drawn at random."""
    columns = [FEATURES.index(name) for name in OF_NARRATIONS]
    pools = {}
    for foreign in (False, True):
        told = [
            each
            for each in rows
            if each.kind.startswith(("narration", "tuning")) and ("foreign" in each.kind) == foreign
        ]
        table = np.concatenate([each.pairs.table for each in told])[:, columns]
        labels = np.concatenate([each.labels for each in told])
        pools[foreign] = {label: table[labels == label] for label in (0, 1)}
    draw = np.random.default_rng(seed)
    found = []
    for each in rows:
        lent = each.pairs.table
        if each.kind.startswith(("sentence", "mined")):
            lent = lent.copy()
            for label, pool in pools["foreign" in each.kind].items():
                own = np.flatnonzero(each.labels == label)
                lent[np.ix_(own, columns)] = pool[draw.choice(len(pool), len(own))]
        found.append(lent)
    return found
