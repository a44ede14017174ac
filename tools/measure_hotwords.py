"""An experiment: hear doubtful places again with fitting terms as hotwords. No part of the installed package.

    python tools/measure_hotwords.py [--set dev] [--every 6]

For each doubtful term the context is transcribed once more, with the three dozen terms that fit there in mind (the
options of the text, then terms of the assemblies named within a minute). The new text is taken where forced decoding
says that the sound supports it better than the old one. Counted are word errors in these contexts, and garbled terms
made right, beside what choosing between candidates by the sound makes right in the very same places.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Sequence
from typing import Any

import numpy as np
from rapidfuzz.distance import Levenshtein
from spoken_sets import Said, first_reading, recordings

from pipeline.correct import load_matcher
from pipeline.hearing import SpeechModel, default_model
from pipeline.hearing.sound import SAMPLE_RATE
from pipeline.second_hearing.calibration import shipped_calibration
from pipeline.second_hearing.contests import cut_context
from pipeline.second_hearing.ears import PRIOR_WEIGHT, hear_contests, noise_only
from pipeline.second_hearing.hear_again import plan_contests
from pipeline.second_hearing.terms import TermContest, judge_term
from pipeline.tokens import bare
from pipeline.vocabulary import Vocabulary, load_vocabulary

MOST_HOTWORDS = 36
NEAR_MS = 60_000
MARGIN = SAMPLE_RATE // 2


def fitting_terms(item: TermContest, words: Sequence[Any], vocabulary: Vocabulary) -> list[str]:
    """The contest's own options first, then terms of the assemblies whose terms are said within a minute."""
    at_ms = words[item.contest.start_word].start_ms
    near = " ".join(bare(word.text) for word in words if abs(word.start_ms - at_ms) < NEAR_MS)
    said = Counter(term.part_of for term in vocabulary.terms if f" {term.name} " in f" {near} ")
    fitting = [option.term for option in item.options]
    for part_of, _ in said.most_common(2):
        fitting += [term.name for term in vocabulary.terms if term.part_of == part_of]
    return list(dict.fromkeys(fitting))[:MOST_HOTWORDS]


def support(model: SpeechModel, encoded: Any, silence: Any, text: str) -> float:
    (sound,), (prior,) = model.force(encoded, [text]), model.force(silence, [text])
    return sum(w.log_probability for w in sound) - PRIOR_WEIGHT * sum(w.log_probability for w in prior)


def errors(said: Sequence[str], text: str) -> int:
    return int(Levenshtein.distance([bare(word) for word in said], [bare(word) for word in text.split()]))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--set", choices=["dev", "test"], default="dev")
    parser.add_argument("--every", type=int, default=6)
    args = parser.parse_args()
    matcher, vocabulary, model = load_matcher(), load_vocabulary(), SpeechModel(default_model())
    silence, calibration = noise_only(model), shipped_calibration()
    count: Counter[str] = Counter()
    for spoken in recordings(args.set, args.every, ""):
        words, said = spoken.transcript.words, Said(spoken.gold["reference"], spoken.transcript.words)
        corrections, quantities = first_reading(spoken.transcript, matcher, vocabulary)
        plan = plan_contests(words, corrections, quantities, matcher)
        heard = hear_contests(words, [item.contest for item in plan.terms], spoken.sound, model)
        by_contest = {id(item.contest): item for item in heard}
        for item in plan.terms:
            context = cut_context(words, item.contest.start_word, item.contest.end_word, spoken.sound.duration_ms)
            low, high = (ms * SAMPLE_RATE // 1000 for ms in (context.start_ms, context.end_ms))
            samples = spoken.sound.samples[low:high]
            old = " ".join(word.text for word in words[context.start_word : context.end_word])
            segments, _ = model._model.transcribe(
                np.pad(samples, MARGIN),
                language="en",
                beam_size=1,
                condition_on_previous_text=False,
                hotwords=", ".join(fitting_terms(item, words, vocabulary)),
            )
            new = " ".join(segment.text.strip() for segment in segments)
            encoded = model.encode_short(samples)
            truth = said.at(context.start_word, context.end_word)
            accepted = new and support(model, encoded, silence, new) > support(model, encoded, silence, old)
            count["contexts"] += 1
            count["words"] += len(truth)
            count["errors before"] += errors(truth, old)
            count["errors hotwords, all taken"] += errors(truth, new)
            count["errors hotwords, where the sound supports it"] += errors(truth, new if accepted else old)
            corr = judge_term(item, by_contest[id(item.contest)], words, calibration)
            fixed = old
            if corr is not None and corr.decision != "keep":
                texts = [word.text for word in words]
                texts[corr.start_word : corr.end_word] = corr.written.split()
                grown = len(texts) - len(words)
                fixed = " ".join(texts[context.start_word : context.end_word + grown])
            count["errors candidates by the sound (auto and ask)"] += errors(truth, fixed)
            right = said.verdict(corr.written, corr.start_word, corr.end_word) if corr is not None else ""
            count["terms right by candidates"] += right == "right"
            for option in item.options:
                if said.verdict(option.written, option.start_word, option.end_word) == "right":
                    count["terms right by hotwords"] += bool(accepted) and option.written.lower() in new.lower()
                    break
        print(spoken.gold["name"], spoken.gold["voice"], spoken.gold["snr_db"], dict(count), flush=True)


if __name__ == "__main__":
    main()
