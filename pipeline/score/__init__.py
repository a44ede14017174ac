"""Measures what correction does to heard text against what was said: the harm first."""

from pipeline.score.measure import LineScore, Score, score_lines
from pipeline.score.report import report, score_fields

__all__ = ["LineScore", "Score", "report", "score_fields", "score_lines"]
