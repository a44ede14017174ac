"""Accuracy on the corpora of narration. The held-out quarter was written before tuning and is only measured."""

from pathlib import Path

import pytest

from tests.events.scoring import CORPUS, read_corpus, report, score_corpus, unpunctuated

TUNING, HELD_OUT = CORPUS / "events.toml", CORPUS / "events_heldout.toml"
SHORT = CORPUS / "events_unseen.toml"  # 300 short sentences by somebody who had not seen the corpus


def test_corpus_is_broad_and_a_part_of_it_is_held_out() -> None:
    tuning, held_out = read_corpus(TUNING), read_corpus(HELD_OUT)
    assert len(tuning) + len(held_out) >= 400
    for snippets in (tuning, held_out):
        assert {snippet.trade for snippet in snippets} == {"motorcycle", "car", "bicycle", "outboard", "machine"}
        assert sum(not snippet.gold for snippet in snippets) >= len(snippets) // 8, "negative examples"
    assert not {snippet.said for snippet in tuning} & {snippet.said for snippet in held_out}


# Floors a little under what was measured: a change that costs more than a snippet or two has to be looked at.
@pytest.mark.parametrize(
    ("path", "written", "plain", "condition_and_finish", "place"),
    [(TUNING, 0.92, 0.875, 0.94, 0.82), (HELD_OUT, 0.75, 0.70, 0.77, 0.6), (SHORT, 0.86, 0.83, 0.89, 0.9)],
)
def test_events_and_what_is_told_of_the_part(
    path: Path, written: float, plain: float, condition_and_finish: float, place: float
) -> None:
    score, unpunctuated_score = score_corpus(path), score_corpus(path, plain=True)
    assert score.f1 >= written, report(score)
    assert unpunctuated_score.f1 >= plain, report(unpunctuated_score)
    assert score.attribute_f1("condition", "finish") >= condition_and_finish, report(score)
    assert score.attribute_f1("side", "position") >= place, report(score)


def test_unpunctuated_keeps_numbers_and_drops_the_rest() -> None:
    assert unpunctuated("I've set it to 0.3, left-hand side. OK?") == "ive set it to 0.3 left hand side ok"
