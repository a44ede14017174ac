"""Figures that sound like others: which rivals there are, when one is doubtful, and what is shown then."""

import pytest

from pipeline.quantities import find_quantities
from pipeline.records import Quantity, Settings
from pipeline.second_hearing import FigureDoubt, hear_again, mark_doubtful
from pipeline.second_hearing.figures import find_figures
from pipeline.tokens import written_tokens

from .no_terms import NO_TERMS
from .scripted import ScriptedEars, heard, sound_of


def figures_in(text: str) -> list[tuple[str, float, float]]:
    transcript = heard(text)
    quantities = find_quantities(written_tokens(transcript.words), Settings())
    found = find_figures(transcript.words, quantities)
    return [(figure.contest.wordings[0], figure.value, figure.rival) for figure in found]


# The pairs are those within one phone of each other in the CMU Pronouncing Dictionary (fifteen F IH F T IY N, fifty
# F IH F T IY).
@pytest.mark.parametrize(
    ("text", "rivals"),
    [
        ("torqued to 15 newton metres", [(15.0, 50.0)]),
        ("torqued to fifty newton metres", [(50.0, 15.0)]),
        ("about 115 millilitres of oil", [(115.0, 150.0), (115.0, 15.0)]),
        ("a gap of 2.5 mm", [(2.5, 25.0)]),
        ("a 112 mm bore", [(112.0, 12.0)]),
        ("eight thou of play", [(8.0, 80.0)]),
    ],
)
def test_rivals_of_a_figure(text: str, rivals: list[tuple[float, float]]) -> None:
    found = [(value, rival) for _, value, rival in figures_in(text)]
    assert set(rivals) <= set(found)


# SAE J306 writes gear oils 75W-80; the W is often not spoken.
def test_a_figure_that_stands_for_another_is_left_alone() -> None:
    assert [value for _, value, _ in figures_in("two litres of 7580 went in")] == [2.0]


@pytest.mark.parametrize(
    ("text", "other"),
    [
        ("torqued 210 newton metres", "to 10"),
        ("pumped up 228 psi", "to 28"),
        ("torqued to 210 newton metres", None),
        ("torqued 200 newton metres", None),
        ("torqued 25 newton metres", "to 5"),
    ],
)
def test_a_two_may_be_the_word_to(text: str, other: str | None) -> None:
    transcript = heard(text)
    quantities = find_quantities(written_tokens(transcript.words), Settings())
    others = [figure.contest.wordings[1] for figure in find_figures(transcript.words, quantities)]
    assert [wording for wording in others if wording.startswith("to ")] == ([other] if other else [])


@pytest.mark.parametrize(
    ("text", "other"),
    [
        ("the head bolts are torqued to 54 pounds", "50 foot"),
        ("the head bolts are torqued to fifty four pounds", "50 foot"),
        ("the head bolts are torqued to 54 foot pounds", None),
        ("the head bolts are torqued to 55 pounds", None),
        ("the head bolts are torqued to 14 pounds", None),
        ("it weighs 54 pounds with the lid on", None),
    ],
)
def test_a_four_may_be_the_word_foot(text: str, other: str | None) -> None:
    transcript = heard(text)
    quantities = find_quantities(written_tokens(transcript.words), Settings())
    others = [figure.contest.wordings[1] for figure in find_figures(transcript.words, quantities)]
    assert [wording for wording in others if wording.endswith(" foot")] == ([other] if other else [])


def test_a_foot_is_longer_than_nothing_and_so_less_likely_without_having_been_left_out() -> None:
    def doubts(foot: float) -> list[tuple[float, ...]]:
        transcript = heard("the head bolts are torqued to 54 pounds")
        quantities = find_quantities(written_tokens(transcript.words), Settings())
        ears = ScriptedEars({"54": -1.0, "50": -2.0, "foot": foot}, otherwise=-9.0)
        second = hear_again(transcript, sound_of(transcript), [], quantities, NO_TERMS, ears)
        return [doubt.others for doubt in second.doubts]

    assert doubts(-1.5) == [(50.0,)]
    assert doubts(-12.0) == []


def test_a_pair_is_no_number_to_be_misheard() -> None:
    assert figures_in("a pair of dowels went in") == []
    assert figures_in("two dowels of 8 mm went in") != []


def test_both_ways_of_writing_a_figure_are_compared_with_what_is_glued_to_it() -> None:
    transcript = heard("with a 19mm, and")
    quantities = find_quantities(written_tokens(transcript.words), Settings())
    (figure,) = [f for f in find_figures(transcript.words, quantities) if f.rival == 90]
    assert figure.contest.wordings == ("19mm,", "90mm,", "nineteen mm,", "ninety mm,")
    assert figure.teen is True


def test_a_thread_is_no_figure_to_doubt() -> None:
    assert figures_in("an M14 thread") == []


def hear_figure(nats: dict[str, float]) -> tuple[FigureDoubt, ...]:
    transcript = heard("I torqued it to 15 newton metres and left it")
    quantities = find_quantities(written_tokens(transcript.words), Settings())
    second = hear_again(transcript, sound_of(transcript), [], quantities, NO_TERMS, ScriptedEars(nats))
    assert len(second.findings) == len(second.doubts)
    if second.doubts:
        assert second.findings[0].message.startswith("15 or 50 N·m: listen at 0:01 to “torqued it to 15 newton")
        assert second.findings[0].level == "check"
    return second.doubts


def test_a_figure_that_the_sound_bears_out_is_left_alone() -> None:
    assert hear_figure({"15": -0.1, "50": -9.0, "fifteen": -1.0, "fifty": -10.0}) == ()


def test_a_figure_whose_rival_fits_as_well_is_doubtful() -> None:
    (doubt,) = hear_figure({"15": -4.0, "50": -1.0, "115": -12.0, "fifteen": -4.0, "fifty": -1.5})
    assert (doubt.heard, doubt.others) == (15.0, (50.0,))
    assert doubt.probability > 0.5


def doubted(text: str, value: float, other: float, place: int) -> list[tuple[float, tuple[float, ...], str]]:
    transcript = heard(text)
    quantities = find_quantities(written_tokens(transcript.words), Settings())
    doubt = FigureDoubt(place, place + 1, value, (other,), 0.5, "they sound alike")
    return [(q.value, q.other_readings, q.why) for q in mark_doubtful(quantities, [doubt]) if q.kind == "torque"]


def test_a_doubtful_figure_keeps_its_value_and_shows_the_other() -> None:
    ((value, others, why),) = doubted("torqued to 15 newton metres", 15.0, 50.0, 2)
    assert (value, others) == (15.0, (50.0,))
    assert "sound alike" in why


def test_a_doubt_about_other_words_marks_nothing() -> None:
    ((value, others, _),) = doubted("torqued to 15 newton metres and more", 15.0, 50.0, 6)
    assert (value, others) == (15.0, ())


def torque_on(thread: str, value: float, other: float) -> Quantity:
    qty = Quantity(
        "q1", "torque", value, None, "N·m", False, f"{value:g} N·m", 3, 4, 900, thread=thread, si_value=value
    )
    (marked,) = mark_doubtful([qty], [FigureDoubt(3, 4, value, (other,), 0.6, "they sound alike")])
    return marked


# An M5 screw of the strongest usual steel (12.9, ISO 898-1: 1,220 MPa) breaks at 26 N·m by T = K*D*F.
def test_a_figure_that_would_break_the_bolt_gives_way_and_is_still_shown() -> None:
    marked = torque_on("M5", 50.0, 15.0)
    assert (marked.value, marked.si_value, marked.other_readings) == (15.0, 15.0, (50.0,))
    assert "50 N·m cannot be, so 15 is taken" in marked.why


def test_two_figures_that_can_both_be_leave_the_heard_one() -> None:
    marked = torque_on("M10", 50.0, 15.0)
    assert (marked.value, marked.other_readings) == (50.0, (15.0,))
