"""What the rest of a recording and the trade at large say for a term."""

import numpy as np

from pipeline.correct import build_matcher
from pipeline.correct.context import beside, leaning, talk_of, words_elsewhere
from pipeline.correct.talk import counted, term_neighbours, usualness
from pipeline.correct.windows import prepare
from pipeline.tokens import line_words
from pipeline.vocabulary import list_vocabulary, load_vocabulary


def test_what_the_recording_talks_of_leads() -> None:
    matcher = build_matcher(load_vocabulary())
    names = {term.name: number for number, term in enumerate(matcher.terms)}
    cycle = "the rear derailleur and its jockey wheel, the bottom bracket, the freehub and the chainring are off"
    heard = prepare(line_words(cycle), matcher)
    term = np.array([names["seatpost"], names["tailstock"]])
    bicycle, lathe = leaning(heard, matcher.term_pack, term)
    assert bicycle > 0 > lathe
    silent = prepare(line_words("good morning everybody"), matcher)
    assert not leaning(silent, matcher.term_pack, term).any()


def test_a_list_of_one_pack_leans_nowhere() -> None:
    matcher = build_matcher(list_vocabulary(["stockinette", "purl stitch", "circlip"]))
    heard = prepare(line_words("a row of stockinette"), matcher)
    assert not leaning(heard, matcher.term_pack, np.arange(3)).any()


def test_usual_terms_are_told_from_unusual_ones_and_a_foreign_list_is_level() -> None:
    usual, rare = usualness([("lock", "nut"), ("lag", "bolt")], np.array([0, 1]), 2, counted())
    assert usual[0] > rare[0]
    foreign = usualness([("purl", "zzq"), ("stockinette", "qqz")], np.array([0, 1]), 2, {})
    assert not foreign.any()


def test_workshop_talk_is_told_from_other_talk() -> None:
    matcher = build_matcher(list_vocabulary(["circlip"]))
    shop = "drain the oil, undo the sump plug and clean the gasket face, then torque the bolts"
    other = "the honourable member for the opposition spoke of parliament and the constitution"
    inside, outside = (talk_of(prepare(line_words(text), matcher), matcher).workshop for text in (shop, other))
    assert inside > 0.8 > 0.5 > outside


def test_words_that_lead_to_a_term_are_told_from_those_that_do_not() -> None:
    heard = prepare(line_words("fit the new thing. be there"), build_matcher(list_vocabulary(["circlip"])))
    places = np.arange(6)
    led, followed = beside(heard, places, places + 1)
    assert led[3] > 0.5 > led[5]
    assert followed[3] == term_neighbours()[""][1]


def test_words_of_a_term_that_are_said_elsewhere_count_in_either_number() -> None:
    matcher = build_matcher(list_vocabulary(["cam sprocket", "guide plate"]))
    heard = prepare(line_words("both sprockets are off, the sprocket is worn, take the can struck it"), matcher)
    form = np.array([matcher.exact["cam", "sprocket"], matcher.exact["guide", "plate"]])
    said, unsaid = words_elsewhere(heard, matcher, matcher.form_start[form], matcher.form_end[form])
    assert said > 0.2
    assert unsaid == 0
