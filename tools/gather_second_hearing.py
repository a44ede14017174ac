"""Puts everything doubtful in the spoken narrations to the sound and keeps the evidence; times it on the samples.

No part of the installed package; called by measure_second_hearing.py.
"""

from __future__ import annotations

import json
import os
import resource
import tempfile
import time
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np
from spoken_sets import ROOT, Said, first_reading, gold_ranges, meet, recordings

from pipeline.correct import load_matcher
from pipeline.hearing import SpeechModel, default_model, hear, read_sound
from pipeline.records import Correction, Recording, Transcript, Word
from pipeline.second_hearing import hear_again
from pipeline.second_hearing.calibration import shipped_calibration
from pipeline.second_hearing.ears import hear_contests
from pipeline.second_hearing.figures import figure_evidence
from pipeline.second_hearing.hear_again import decide, plan_contests
from pipeline.second_hearing.terms import option_evidence
from pipeline.second_hearing.units import unit_evidence
from pipeline.vocabulary import load_vocabulary


def cpu_s() -> float:
    used = resource.getrusage(resource.RUSAGE_SELF)
    return used.ru_utime + used.ru_stime


def gather(name: str, out: Path, every: int, only: str, generous: float) -> None:
    matcher, vocabulary, model = load_matcher(), load_vocabulary(), SpeechModel(default_model())
    names = {term.name: (*term.spellings, term.plural) for term in vocabulary.terms}
    results = []
    for spoken in recordings(name, every, only):
        gold, transcript = spoken.gold, spoken.transcript
        corrections, quantities = first_reading(transcript, matcher, vocabulary)
        begun, begun_cpu = time.perf_counter(), cpu_s()
        plan = plan_contests(transcript.words, corrections, quantities, matcher, generous)
        heard = hear_contests(transcript.words, plan.contests(), spoken.sound, model)
        spent = {"wall_s": time.perf_counter() - begun, "cpu_s": cpu_s() - begun_cpu}
        by_contest = {id(item.contest): item for item in heard}
        second = decide(transcript.words, corrections, quantities, plan, heard, model, shipped_calibration())
        mentions = gold_ranges(gold, transcript.words, "terms")
        figures = gold_ranges(gold, transcript.words, "quantities")
        said = Said(gold["reference"], transcript.words)
        results.append(
            {
                "narration": gold["name"],
                "voice": gold["voice"],
                "snr": gold["snr_db"],
                "minutes": spoken.sound.duration_ms / 60_000,
                **spent,
                "mentions": len(mentions),
                "garbled": sum(not mention["right"] for mention in mentions),
                "before": [_labelled(corr, said, names) for corr in corrections],
                "after": [_labelled(corr, said, names) for corr in second.corrections],
                "doubts": [[doubt.start_word, doubt.end_word] for doubt in second.doubts],
                "terms": [
                    {
                        "evidence": [
                            {
                                **evidence,
                                "prior": by_contest[id(item.contest)].priors[place]
                                - by_contest[id(item.contest)].priors[0],
                            }
                            for place, evidence in enumerate(
                                option_evidence(item, by_contest[id(item.contest)]), start=1
                            )
                        ],
                        "proposed": item.corr is not None,
                        "labels": [
                            said.verdict(o.written, o.start_word, o.end_word, names[o.term]) for o in item.options
                        ],
                        "wordings": item.contest.wordings,
                        "value": item.contest.value,
                        "before": None if item.corr is None else corrections.index(item.corr),
                    }
                    for item in plan.terms
                ],
                "figures": [
                    {
                        "evidence": figure_evidence(item, by_contest[id(item.contest)], model),
                        "label": _figure_label(item, figures),
                        "place": [item.contest.start_word, item.contest.end_word],
                        "value": item.value,
                        "rival": item.rival,
                        "why": item.why,
                    }
                    for item in plan.figures
                ],
                "units": [
                    {
                        "evidence": unit_evidence(item, by_contest[id(item.contest)], transcript.words)[1],
                        "wordings": item.contest.wordings,
                        "said": " ".join(said.at(item.contest.start_word, item.contest.end_word)),
                    }
                    for item in plan.units
                ],
                "findings": [asdict(finding) for finding in second.findings],
            }
        )
        print(gold["name"], gold["voice"], gold["snr_db"], f"{spent['cpu_s']:.1f} s", flush=True)
        out.write_text(json.dumps(results), encoding="utf-8")


def _labelled(corr: Correction, said: Said, names: dict[str, tuple[str, ...]]) -> dict[str, Any]:
    label = said.verdict(corr.written, corr.start_word, corr.end_word, names.get(corr.term, ()))
    texts = {"heard": corr.heard, "written": corr.written}
    return {**texts, "score": corr.score, "decision": corr.decision, "label": label}


def _figure_label(figure: Any, facts: Sequence[dict[str, Any]]) -> str:
    """heard, rival or neither: which value is in the gold figure at this place; "" where there is none."""
    contest = figure.contest
    for fact in facts:
        if meet(contest.start_word, contest.end_word, fact):
            values = (fact["value"], fact["high"])
            if figure.value in values:
                return "heard"
            return "rival" if figure.rival in values else "neither"
    return ""


def cost() -> None:
    """Hears the samples afresh and then again, in this process, and prints the CPU seconds of both."""
    place = default_model()
    matcher, vocabulary, model = load_matcher(), load_vocabulary(), SpeechModel(place)
    totals = np.zeros(2)
    for path in sorted((ROOT / "samples").glob("*/*.*")):
        if path.suffix not in (".ogg", ".mp4"):
            continue
        sound, _ = read_sound(path)
        begun = cpu_s()
        with tempfile.TemporaryDirectory() as cache:
            os.environ["WITNESSMARK_CACHE"] = cache
            hear(path, place, load=lambda *_: model)
        first_s = cpu_s() - begun
        heard = json.loads((ROOT / "tests" / "samples" / "heard" / f"{path.stem}.json").read_text(encoding="utf-8"))
        words = tuple(Word(**word) for word in heard["words"])
        starts = tuple(heard["segment_starts"])
        transcript = Transcript(Recording(**heard["recording"]), words, starts, from_sound=True)
        corrections, quantities = first_reading(transcript, matcher, vocabulary)
        begun = cpu_s()
        hear_again(transcript, sound, corrections, quantities, matcher, model)
        second_s = cpu_s() - begun
        totals += (first_s, second_s)
        ratio = second_s / first_s
        print(f"{path.stem:<20} hearing {first_s:5.1f} s, second hearing {second_s:5.1f} s: {ratio:.2f}", flush=True)
    print(f"{'all':<20} hearing {totals[0]:5.1f} s, second hearing {totals[1]:5.1f} s: {totals[1] / totals[0]:.2f}")
