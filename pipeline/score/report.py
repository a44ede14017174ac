"""The score as text: harm first, then help, then the wrong lines with the reference over what was heard."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from pipeline.score.align import align
from pipeline.score.measure import LineScore, Score, figures

_WIDTH = 110


def _percent(value: float | None) -> str:
    return "none" if value is None else f"{value:.1%}".replace("%", " %")


def over(reference: Sequence[str], heard: Sequence[str]) -> list[str]:
    """Reference over heard, word under word; wrong words in capitals, stars where one side has none.

    >>> print("\\n".join(over(["fit", "the", "circlip"], ["fit", "the", "sir", "clip"])))
    REF  fit the CIRCLIP ****
    HYP  fit the SIR     CLIP
    """
    top, bottom = ["REF "], ["HYP "]
    for kind, ref_start, ref_end, hyp_start, hyp_end in align(reference, heard).blocks:
        count = max(ref_end - ref_start, hyp_end - hyp_start)
        for step in range(count):
            said = reference[ref_start + step] if ref_start + step < ref_end else ""
            got = heard[hyp_start + step] if hyp_start + step < hyp_end else ""
            if kind == "changed":
                said, got = said.upper() or "*" * len(got), got.upper() or "*" * len(said)
            width = max(len(said), len(got))
            top.append(said.ljust(width))
            bottom.append(got.ljust(width))
    lines = []
    while top:
        taken, width = 0, 0
        while taken < len(top) and (not taken or width + len(top[taken]) < _WIDTH):
            width += len(top[taken]) + 1
            taken += 1
        lines += [" ".join(top[:taken]).rstrip(), " ".join(bottom[:taken]).rstrip()]
        top, bottom = top[taken:], bottom[taken:]
        if top:
            top, bottom = ["    ", *top], ["    ", *bottom]
    return lines


def score_fields(score: Score) -> dict[str, Any]:
    """Counts and figures, for JSON."""
    return {**asdict(score), **figures(score)}


def report(score: Score, lines: Sequence[LineScore]) -> str:
    """The whole report."""
    fig = figures(score)
    wrong = score.autos - score.autos_right
    per_thousand = fig["false_replacements_per_1000_words"]
    text = [
        f"HARM    {score.harmed} good words made wrong; {wrong} of {score.autos} changes wrong"
        f" ({'none' if per_thousand is None else f'{per_thousand:.2f}'} in 1,000 words)",
        f"help    {score.mended} wrong words put right; changes right {_percent(fig['auto_precision'])}"
        f" ({_percent(fig['auto_precision_of_terms'])} the right term, number aside);"
        f" {score.asks} asked",
        f"terms   {score.garbled} of {score.mentions} mentions garbled: {score.put_right} put right,"
        f" {score.asked_right} asked with the right term ({_percent(fig['garbled_put_right_or_asked'])})",
        f"        recall {_percent(fig['term_recall_before'])} -> {_percent(fig['term_recall_after'])};"
        f" precision {_percent(fig['term_precision_after'])} of {score.written_terms}",
        f"words   error rate {_percent(fig['word_error_rate_before'])} -> {_percent(fig['word_error_rate_after'])}"
        f" of {score.words} words ({score.errors_before} -> {score.errors_after} errors)",
    ]
    for line in lines:
        if line.score.errors_after:
            text += ["", f"line {line.number}" + ("  HARMED" if line.score.harmed else "")]
            text += over(line.reference, line.corrected)
            if line.corrected != line.heard:
                text += textwrap.wrap("was  " + " ".join(line.heard), _WIDTH, subsequent_indent="     ")
    return "\n".join(text)
