"""The quick search finds what a slow one does."""

import numpy as np
import pytest

from pipeline.correct import build_matcher
from pipeline.correct.index import CONFUSED, CONSONANTS, CROWDED, MANNERS, Reduction, SoundIndex, keys
from pipeline.correct.search import alike_pairs, find_pairs
from pipeline.correct.windows import all_windows, prepare
from pipeline.records import Word
from pipeline.tokens import line_words
from pipeline.vocabulary import load_vocabulary

HEARD = (
    "pull the good gin pin and the sir clip out, then the good gin pin goes back with new sir clips. "
    "the lay shaft bearing is worn and the good gin pin is not, the gask it is torn at the thrust wash her"
)


@pytest.mark.parametrize("how", [CONFUSED, CONSONANTS, MANNERS])
def test_index_pairs_are_those_that_share_a_key(how: Reduction) -> None:
    matcher = build_matcher(load_vocabulary(["bicycle"]))
    asked = matcher.rows[::7]
    own: dict[int, set[int]] = {}
    for key, row in zip(*(found.tolist() for found in keys(matcher.rows, how)), strict=True):
        own.setdefault(key, set()).add(row)
    wanted = {
        (asker, row)
        for key, asker in zip(*(found.tolist() for found in keys(asked, how)), strict=True)
        if len(own.get(key, ())) <= CROWDED
        for row in own.get(key, ())
    }
    found = SoundIndex(matcher.rows, how).pairs(asked)
    assert len(wanted) > 100
    assert {divmod(pair, len(matcher.rows)) for pair in found.tolist()} == wanted


def test_what_is_said_again_finds_what_it_found_before() -> None:
    matcher = build_matcher(load_vocabulary(["motorcycle"]))
    heard = prepare(line_words(HEARD), matcher)
    starts, ends = all_windows(heard)
    together = list(zip(*(found.tolist() for found in alike_pairs(heard, matcher, starts, ends)), strict=True))
    alone = []
    for start, end in zip(starts, ends, strict=True):
        found = alike_pairs(heard, matcher, np.array([start]), np.array([end]))
        alone += list(zip(*(column.tolist() for column in found), strict=True))
    assert len(together) > 50
    assert together == alone


def test_no_words_and_no_terms_give_no_pairs() -> None:
    matcher = build_matcher(load_vocabulary(["bicycle"]))
    assert not len(find_pairs(prepare([Word("12", 0, 400)], matcher), matcher).start)
