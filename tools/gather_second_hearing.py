"""Puts everything doubtful in the spoken narrations to the sound and keeps the evidence; times it on the samples.

No part of the installed package; called by measure_second_hearing.py.
"""

from __future__ import annotations

import json
import multiprocessing
import os
import resource
import tempfile
import time
from collections.abc import Sequence
from dataclasses import asdict
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from parallel import one_core
from spoken_sets import ROOT, Said, first_reading, gold_ranges, meet, spoken

from pipeline.correct import Matcher, judge, load_matcher
from pipeline.hearing import SpeechModel, default_model, hear, read_sound
from pipeline.records import Correction, Recording, Transcript, Word
from pipeline.second_hearing import hear_again
from pipeline.second_hearing.calibration import shipped_calibration
from pipeline.second_hearing.ears import Heard, hear_contests
from pipeline.second_hearing.figures import figure_evidence
from pipeline.second_hearing.hear_again import decide, plan_contests, spoken_minutes
from pipeline.second_hearing.terms import TermContest, option_evidence
from pipeline.second_hearing.units import unit_evidence
from pipeline.vocabulary import Vocabulary, load_vocabulary


def cpu_s() -> float:
    used = resource.getrusage(resource.RUSAGE_SELF)
    return used.ru_utime + used.ru_stime


def gather(
    name: str, rows: Sequence[dict[str, Any]], out: Path, generous: float, workers: int, correction: Path | None
) -> None:
    """Evidence of a set, one row a recording, in order; with several `workers` each process has one core.

    `correction`: folder with weights of correction that were fitted without this set; the shipped ones if None.
    """
    context = multiprocessing.get_context("spawn")
    results: list[dict[str, Any]] = []
    with context.Pool(workers, initializer=_begin, initargs=(workers > 1, correction)) as pool:
        # rows of one voice and narration, which differ in noise, go to one process: it speaks only once
        jobs, each = [(name, row, generous) for row in rows], 3 if len(rows) > 9 * workers else 1
        for result in pool.imap(_gather_one, jobs, chunksize=each):
            results.append(result)
            print(result["narration"], result["voice"], result["snr"], f"{result['cpu_s']:.1f} s", flush=True)
            out.write_text(json.dumps(results), encoding="utf-8")


def _begin(side_by_side: bool, correction: Path | None) -> None:
    if side_by_side:
        one_core()
    if correction is not None:
        judge._DATA = correction


@cache
def _tools() -> tuple[Matcher, Vocabulary, SpeechModel]:
    """Loaded once a process."""
    return load_matcher(), load_vocabulary(), SpeechModel(default_model())


def _gather_one(job: tuple[str, dict[str, Any], float]) -> dict[str, Any]:
    name, row, generous = job
    matcher, vocabulary, model = _tools()
    recording = spoken(name, row)
    gold, transcript = recording.gold, recording.transcript
    corrections, quantities = first_reading(transcript, matcher, vocabulary)
    begun, begun_cpu = time.perf_counter(), cpu_s()
    plan = plan_contests(transcript.words, corrections, quantities, matcher, generous)
    heard = hear_contests(transcript.words, plan.contests(), recording.sound, model)
    spent = {"wall_s": time.perf_counter() - begun, "cpu_s": cpu_s() - begun_cpu}
    second = decide(transcript.words, corrections, quantities, plan, heard, model, shipped_calibration())
    mentions = gold_ranges(gold, transcript.words, "terms")
    said = Said(gold["reference"], transcript.words)
    names = {term.name: (*term.spellings, term.plural) for term in vocabulary.terms}
    by_contest = {id(item.contest): item for item in heard}
    return {
        "narration": gold["name"],
        "voice": gold["voice"],
        "snr": gold["snr_db"],
        "minutes": recording.sound.duration_ms / 60_000,
        "spoken_minutes": spoken_minutes(transcript.words),
        **spent,
        "mentions": len(mentions),
        "garbled": sum(not mention["right"] for mention in mentions),
        "before": [_labelled(corr, said, names) for corr in corrections],
        "after": [_labelled(corr, said, names) for corr in second.corrections],
        "doubts": [[doubt.start_word, doubt.end_word] for doubt in second.doubts],
        "terms": [_term_row(item, by_contest[id(item.contest)], said, names, corrections) for item in plan.terms],
        "figures": [
            {
                "evidence": figure_evidence(item, by_contest[id(item.contest)], model),
                "label": _figure_label(item, gold_ranges(gold, transcript.words, "quantities")),
                "place": [item.contest.start_word, item.contest.end_word],
                "value": item.value,
                "rival": item.rival,
                "why": item.why,
                "probability": min(
                    word.probability for word in transcript.words[item.contest.start_word : item.contest.end_word]
                ),
            }
            for item in plan.figures
        ],
        "units": [
            {
                "evidence": unit_evidence(item, by_contest[id(item.contest)], transcript.words)[1],
                "wordings": item.contest.wordings,
                "said": " ".join(said.at(item.contest.start_word, item.contest.end_word)),
                "place": [item.contest.start_word, item.contest.end_word],
                "value": item.contest.value,
            }
            for item in plan.units
        ],
        "findings": [asdict(finding) for finding in second.findings],
    }


def _term_row(
    item: TermContest, heard: Heard, said: Said, names: dict[str, tuple[str, ...]], corrections: Sequence[Correction]
) -> dict[str, Any]:
    evidence = [
        {**each, "prior": heard.priors[place] - heard.priors[0]}
        for place, each in enumerate(option_evidence(item, heard), start=1)
    ]
    return {
        "evidence": evidence,
        "proposed": item.corr is not None,
        "labels": [said.verdict(o.written, o.start_word, o.end_word, names[o.term]) for o in item.options],
        "terms": [option.term for option in item.options],
        "wordings": item.contest.wordings,
        "place": [item.contest.start_word, item.contest.end_word],
        "value": item.contest.value,
        "before": None if item.corr is None else corrections.index(item.corr),
    }


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
