"""Rows to fit correction on: features of pairs of a heard window and a form of a term, and whether it was said there.

Several vocabularies: all packs with mined hearings, packs with a third of the terms missing, short plain lists. With
and without the recogniser's probabilities. Mined hearings are put back into the sentences they were mined in, and the
vocabulary does not know them then. The test sets, their voices and their terms are never read.
"""

from __future__ import annotations

import random
import zlib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import chain
from pathlib import Path
from typing import Any

import count_talk
import numpy as np
from heard_sets import (
    Text,
    english_texts,
    garbled_mentions,
    heard_terms,
    narrations,
    sentence_texts,
    share_of,
    smaller,
    without_probabilities,
)
from mine_hearings import CARRIERS
from mine_narrations import narrated
from numpy.typing import NDArray

from pipeline.correct.contexts import Contexts, read_contexts
from pipeline.correct.features import FEATURES, Pairs
from pipeline.correct.matcher import Hearings, Matcher, build_matcher, form_vectors
from pipeline.correct.number import signs
from pipeline.correct.search import find_pairs
from pipeline.correct.talk import usualness
from pipeline.correct.windows import prepare
from pipeline.score.align import comparable
from pipeline.score.measure import term_mentions
from pipeline.vocabulary import list_vocabulary, load_vocabulary, shipped_hearings

# The few carrier sentences say nothing about these; their values are drawn from the pairs of whole narrations.
OF_NARRATIONS = (
    "topic", "said_elsewhere", "cue", "odd_outside", "odd_after", "plural_clash", "pack", "assembly", "talk_before",
    "talk_after", "workshop", "fits", "fits_rather",
)  # fmt: skip

MINED = 4800
FOLDS = 3

Floats = NDArray[np.floating[Any]]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Rows:
    """Pairs of one text. `kind`: narration, sentence or english, and the vocabulary. `labels`: 1 said there, 0 not,
    -1 neither (another window for the term that was said). `garbled`: mentions to be found, with or without a pair.
    `group`: which fold the text belongs to. `signs`, `many`: of the pairs that are right, see `number`. `words`: as
    heard; `lines`: the line of each; `forms`: the forms that `pairs.form` counts."""

    kind: str
    group: int
    pairs: Pairs
    labels: Ints
    term: Ints
    garbled: int
    signs: Floats
    many: Floats
    words: tuple[str, ...]
    lines: Ints
    forms: tuple[str, ...]


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
    for start, end, form in garbled_mentions(text, matcher):
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
        heard.texts,
        heard.line,
        _form_texts(matcher),
    )


_known_forms: dict[int, tuple[Matcher, tuple[str, ...]]] = {}


def _form_texts(matcher: Matcher) -> tuple[str, ...]:
    """The texts of the forms, one object for all that share them."""
    if id(matcher.forms) not in _known_forms:
        _known_forms[id(matcher.forms)] = matcher, tuple(form.text for form in matcher.forms)
    return _known_forms[id(matcher.forms)][1]


def _fit(pairs: Pairs, number: int, start: int, end: int) -> float:
    """Of several windows for the right term, the one that sounds most alike and covers what stands for it best."""
    outside = abs(int(pairs.start[number]) - start) + abs(int(pairs.end[number]) - end)
    return float(pairs.sound[number]) - 0.05 * outside


def mined_sentences(hearings: Mapping[str, Mapping[str, int]], most: int, seed: int = 3) -> list[Text]:
    """Sentences in which the terms of `hearings` were garbled while mining. Nothing is known of probabilities."""
    garbles = [(form, garble) for form, found in hearings.items() for garble in found]
    draw = random.Random(seed)
    draw.shuffle(garbles)
    records = []
    for form, garble in garbles[:most]:
        carrier = draw.choice(CARRIERS["mine"])
        words = carrier.format(garble).split()
        records.append(
            {"reference": carrier.format(form), "form": form, "words": words, "probabilities": [1.0] * len(words)}
        )
    return sentence_texts(records)


def together(*parts: Hearings) -> dict[str, Counter[str]]:
    """Hearings added up."""
    total: dict[str, Counter[str]] = {}
    for part in parts:
        for spelling, counts in part.items():
            total.setdefault(spelling, Counter()).update(counts)
    return total


def _recordings(names: Iterable[str]) -> list[int]:
    """A number for each recording, the same for those that share a narration; names of several are joined by +."""
    known: dict[str, int] = {}
    found = []
    for name in names:
        parts = name.split("+")
        number = next((known[part] for part in parts if part in known), len(known))
        for part in parts:
            known.setdefault(part, number)
        found.append(number)
    return found


def tuning_texts() -> tuple[list[Text], list[Text]]:
    """Recordings of the narrations to tune on, heard by the speech model as it came, and by learners that do not know
    them: the latter as it hears now."""
    return narrations("tuning") + narrations("each"), narrations("left_out")


def fold_of_recordings() -> dict[str, int]:
    """Narration -> the fold in which its recordings are."""
    texts = list(chain(*tuning_texts()))
    numbers = _recordings(text.name for text in texts)
    return {name: number % FOLDS for text, number in zip(texts, numbers, strict=True) for name in text.name.split("+")}


def foreign(matcher: Matcher) -> Matcher:
    """As if this was a trade that nobody has counted."""
    talk = np.zeros_like(matcher.term_talk)
    return replace(matcher, talk={}, term_talk=talk, form_fit=np.zeros_like(matcher.form_fit))


def gather(general: Sequence[Path], tables: Sequence[Path]) -> list[Rows]:
    """All rows there are to learn from. `tables`: for each fold contexts that were learned without its narrations."""
    vocabulary, hearings = load_vocabulary(), shipped_hearings()
    names = [term.name for term in vocabulary.terms]
    random.Random(2).shuffle(names)
    packs = build_matcher(vocabulary, hearings)
    found: list[Rows] = []
    spoken = {name: count_talk.stretches(words) for name, words in count_talk.spoken().items()}
    talk = count_talk.count_talk(spoken.values())
    usual_talk = count_talk.kept(talk)

    @cache
    def talk_without(name: str) -> dict[str, int]:
        own = count_talk.count_talk(spoken[each] for each in name.split("+") if each in spoken)
        changed = {text: talk[text] - count for text, count in own.items()}
        others = {text: count for text, count in usual_talk.items() if text not in changed}
        return others | count_talk.kept(changed)

    def fewer(missing: int, known: Hearings) -> Matcher:
        """The packs without a third of their terms."""
        return build_matcher(smaller(vocabulary, [t for t in vocabulary.terms if share_of(t, 3) != missing]), known)

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

    def listed(texts: Sequence[Text], others: Sequence[str], known: Hearings | None = None) -> Matcher:
        """A plain list of what is said in the texts and a few more, as a user of `--terms` would have."""
        said = [said.spelling for text in texts for said in text.said]
        said += [name for text in texts if not text.said for name in spoken_names(text, packs)]
        return build_matcher(list_vocabulary(dict.fromkeys(said + list(others))), known)

    plain, now = tuning_texts()
    tuning = plain + now
    numbers = _recordings(text.name for text in tuning)
    for fold, contexts in enumerate(map(read_contexts, tables)):

        def unlearned(matcher: Matcher, contexts: Contexts = contexts) -> Matcher:
            """With contexts that were learned without the narrations of this fold."""
            vectors = form_vectors(contexts, matcher.strip, matcher.form_start, matcher.form_end)
            return replace(matcher, contexts=contexts, form_fit=vectors)

        # what is mined in these narrations is not known of new ones
        rest = [text for text, n in zip(tuning, numbers, strict=True) if n % FOLDS != fold and "+" not in text.name]
        known = together(shipped_hearings(narrated=False), narrated(rest, packs))
        texts = [text for text, n in zip(tuning, numbers, strict=True) if n % FOLDS == fold]
        groups = [6 + n for n in numbers if n % FOLDS == fold]
        quiet = [without_probabilities(text) for text in texts]
        known_packs = unlearned(build_matcher(vocabulary, known))
        came = sum(n % FOLDS == fold for n in numbers[: len(plain)])
        add("tuning packs", texts[:came], known_packs, groups[:came])
        add("tuning now packs", texts[came:], known_packs, groups[came:])
        add("tuning silent", quiet[::3], known_packs, groups[::3])
        for n in range(2):
            add("tuning fewer", texts[2 * n :: 4], unlearned(fewer(n, known)), groups[2 * n :: 4])
        for n in range(0, len(texts), 40):
            some, others = texts[n : n + 40], names[n : n + 150]
            add("tuning list", some[::3], unlearned(listed(some, others, known)), groups[n : n + 40 : 3])
            add("tuning list foreign", some[1::3], foreign(unlearned(listed(some, others))), groups[n + 1 : n + 40 : 3])
    whole = narrations("dev")
    silent = [without_probabilities(text) for text in whole]
    references = list(dict.fromkeys(text.reference for text in whole))
    groups = [references.index(text.reference) for text in whole]
    add("narration packs", whole, packs, groups)
    add("narration silent", silent[::2], packs, groups[::2])
    add("narration fewer", whole[1::2], fewer(0, hearings), groups[1::2])
    add("narration fewer silent", silent[::2], fewer(1, hearings), groups[::2])
    add("narration list", whole[::2], listed(whole, names[:100], hearings), groups[::2])
    add("narration list foreign", whole[1::4], foreign(listed(whole, names[300:500])), groups[1::4])
    add("narration list foreign silent", silent[3::4], foreign(listed(whole, names[500:800])), groups[3::4])
    shown = {form: found for form, found in hearings.items() if zlib.crc32(form.encode()) % 4 == 0}
    hidden = {form: found for form, found in hearings.items() if form not in shown}
    for title, texts, known in (
        ("sentence", heard_terms("dev"), hearings),
        ("mined", mined_sentences(shown, MINED), hidden),
    ):
        silent = [without_probabilities(text) for text in texts]
        groups = [number % 6 for number in range(len(texts))]
        if title == "sentence":
            add(f"{title} packs", texts, packs, groups)
        add(f"{title} silent", silent[::2], build_matcher(vocabulary, known), groups[::2])
        add(f"{title} fewer", texts[1::2], fewer(1, known), groups[1::2])
        for n in range(0, len(texts), 3):
            some = [*texts[n : n + 2], *silent[n + 2 : n + 3]]
            others = names[n * 30 : n * 30 + 240 + 60 * (n % 9)]
            own = listed(some, others, hearings if title == "sentence" else None)
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
