"""Measures correction on a set, the hard way: with all that was said in the vocabulary, without it, with half of it.

    python tools/measure_correction.py dev|test [--english PROSE.txt ...] [--show 20]

Report `test` and tune on `dev` only. Figures with their counts; the harm first.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from heard_sets import Text, english_texts, heard_terms, narrations, share_of, smaller, without_probabilities

from pipeline.correct import correct
from pipeline.correct.matcher import Matcher, build_matcher
from pipeline.records import Correction, Word
from pipeline.score.measure import LineScore, Score, figures, score_line
from pipeline.vocabulary import Vocabulary, list_vocabulary, load_vocabulary, shipped_hearings


def _cut(text: Text, corrections: Sequence[Correction]) -> Iterator[tuple[str, Sequence[Word], list[Correction]]]:
    """Each line of a text with its words and its corrections."""
    if not text.lines:
        yield text.reference, text.words, list(corrections)
        return
    bounds = [*text.breaks, len(text.words)]
    for line, start, end in zip(text.lines, bounds, bounds[1:], strict=False):
        own = [
            replace(c, start_word=c.start_word - start, end_word=c.end_word - start)
            for c in corrections
            if start <= c.start_word < end
        ]
        yield line, text.words[start:end], own


def scored(texts: Iterable[Text], matcher: Matcher, shown: list[str]) -> Score:
    """Scores all lines of all texts; wrong changes are added to `shown`."""
    total = Score()
    for text in texts:
        for line, words, own in _cut(text, correct(text.words, matcher, text.breaks)):
            found: LineScore = score_line(0, line, words, own, matcher)
            total += found.score
            shown += [f"{c.heard} -> {c.written}  {c.score} {c.why}" for c in found.wrong]
    return total


def show(title: str, score: Score) -> None:
    """One block of figures."""
    fig = {key: "none" if value is None else f"{value:.3f}" for key, value in figures(score).items()}
    print(f"{title}: {score.words} words")
    print(
        f"  harm {score.harmed} words; wrong {score.autos - score.autos_right} of {score.autos} changes"
        f" = {fig['false_replacements_per_1000_words']} per 1,000 words; right {fig['auto_precision']}"
        f" (of the right term, number aside: {fig['auto_precision_of_terms']});"
        f" {score.asks} asked"
    )
    print(
        f"  garbled {score.garbled} of {score.mentions} mentions ({score.heard_otherwise} more in another spelling or"
        f" number): {score.put_right} put right,"
        f" {score.asked_right} asked right = {fig['garbled_put_right_or_asked']};"
        f" recall {fig['term_recall_before']} -> {fig['term_recall_after']}; precision {fig['term_precision_after']}"
    )
    print(f"  word error rate {fig['word_error_rate_before']} -> {fig['word_error_rate_after']}", flush=True)


def without_spoken(vocabulary: Vocabulary, texts: Sequence[Text]) -> Vocabulary:
    """The vocabulary without every term that is said in the texts."""
    said = {each.spelling for text in texts for each in text.said}
    return smaller(vocabulary, [term for term in vocabulary.terms if not said & set(term.spellings)])


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("name", choices=["dev", "test"])
    parser.add_argument("--english", type=Path, nargs="*", default=[])
    parser.add_argument("--words", type=int, default=50_000)
    parser.add_argument("--show", type=int, default=0, help="show so many wrong changes of each measurement")
    options = parser.parse_args()
    vocabulary, hearings = load_vocabulary(), shipped_hearings()
    packs = build_matcher(vocabulary, hearings)
    whole, sentences = narrations(options.name), heard_terms(options.name)
    half = build_matcher(smaller(vocabulary, [t for t in vocabulary.terms if share_of(t, 2)]), hearings)

    def measure(title: str, texts: Sequence[Text], matcher: Matcher) -> None:
        shown: list[str] = []
        show(title, scored(texts, matcher, shown))
        for line in shown[: options.show]:
            print("      ", line)

    measure("1  narrations, all packs", whole, packs)
    by_reference: dict[str, list[Text]] = {}
    for text in whole:
        by_reference.setdefault(text.reference, []).append(text)
    total, shown = Score(), []
    for texts in by_reference.values():
        total += scored(texts, build_matcher(without_spoken(vocabulary, texts), hearings), shown)
    show("2b narrations, spoken terms removed", total)
    for line in shown[: options.show]:
        print("      ", line)
    measure("2c narrations, half of the terms removed", whole, half)
    names = list(dict.fromkeys(said.spelling for text in whole for said in text.said))
    measure("   narrations, plain list of what is said", whole, build_matcher(list_vocabulary(names)))
    measure("   terms in sentences, all packs", sentences, packs)
    few = sentences[::6]
    names = list(dict.fromkeys(said.spelling for text in few for said in text.said))
    listed = build_matcher(list_vocabulary(names))
    measure(f"   terms in sentences, plain list of {len(names)}", few, listed)
    measure("   the same without probabilities", [without_probabilities(text) for text in few], listed)
    for path in options.english:
        prose = [replace(t, reference=" ".join(w.text for w in t.words)) for t in english_texts([path], options.words)]
        measure(f"2a general English, all packs: {path.stem}", prose, packs)


if __name__ == "__main__":
    main()
