"""What the page is made of: transcript, line of time, loose ends, doubts, parts, dates."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from pipeline.records import BuildLog, Correction, Recording, Word
from pipeline.render import Media, media_beside, page_context
from pipeline.render.transcript import paragraphs, pieces_of
from pipeline.vocabulary import load_vocabulary
from tests.render.penhallow import LOG, VOCABULARY, WORDS, long_log

EMPTY = BuildLog(Recording("silence.wav", 0, ""), ())


def test_every_word_is_in_the_transcript_once_and_in_order() -> None:
    for log in (LOG, long_log(3), replace(LOG, segment_starts=(), chapters=())):
        pieces = [piece for paragraph in paragraphs(log) for piece in paragraph.pieces]
        assert [place for piece in pieces for place in range(piece.start_word, piece.end_word)] == list(
            range(len(log.words))
        )


def test_corrections_are_laid_over_and_doubtful_ones_stay_as_heard() -> None:
    pieces = {piece.text: piece for piece in pieces_of(LOG) if piece.decision}
    assert pieces["gudgeon pin"].heard == "gudgen pin"
    assert pieces["base casket"].written == "base gasket"
    kept = replace(LOG.corrections[0], decision="keep")
    assert all(not piece.decision for piece in pieces_of(replace(LOG, corrections=(kept,))))


def test_a_pause_or_a_chapter_begins_a_paragraph_and_none_is_endless() -> None:
    words = tuple(
        Word(f"w{place}", place * 300 + 5000 * (place >= 10), place * 300 + 200 + 5000 * (place >= 10))
        for place in range(500)
    )
    log = BuildLog(Recording("a", 200_000, ""), words)
    lengths = [len(paragraph.pieces) for paragraph in paragraphs(log)]
    assert lengths[0] == 10
    assert max(lengths) <= 120
    assert [chapter.title for paragraph in paragraphs(LOG) for _, chapter in paragraph.chapters] == [
        chapter.title for chapter in LOG.chapters
    ]


def test_every_chapter_has_its_place_even_where_nothing_is_said() -> None:
    """Two chapters that begin in the same pause: the page must not link to a heading that is not there."""
    from pipeline.records import Chapter
    from pipeline.render import WRITERS

    log = replace(LOG, chapters=(*LOG.chapters, Chapter(195_000, "Silence at the end")))
    html = WRITERS["log.html"](page_context(log, VOCABULARY))
    for number in range(1, len(log.chapters) + 1):
        assert html.count(f'id="c{number}"') == 1


def test_loose_ends_know_what_closed_them() -> None:
    page = page_context(LOG, VOCABULARY)
    assert len(page.open_ends) == 5
    assert [end.title for end in page.open_ends] == [
        "Tighten exhaust flange nut", "Silencer bracket", "Fit split pin", "Fill right fork leg", "Fill gearbox",
    ]  # fmt: skip
    assert [end.closing for end in page.closed_ends] == ["Closed at 2:34"]
    later = replace(LOG.loose_ends[0], closed_by="day-3#e12", closed_ms=61_000)
    page = page_context(replace(LOG, loose_ends=(later,)), VOCABULARY)
    assert [end.closing for end in page.closed_ends] == ["Closed at 1:01 in day-3"]


def test_the_same_doubtful_words_are_one_question() -> None:
    first = LOG.corrections[2]
    again = replace(first, start_word=200, end_word=202, heard="Base casket,")
    other = replace(first, start_word=210, end_word=212, heard="head casket", term="head gasket")
    page = page_context(replace(LOG, corrections=(first, again, other)), VOCABULARY)
    assert [[place.start_word for place, _ in doubt.places] for doubt in page.ask] == [[first.start_word, 200], [210]]
    assert page.ask[0].answer == "witnessmark vocab learn accept 'base casket' 'base gasket'"
    assert page.ask[0].denial == "witnessmark vocab learn reject 'base casket' 'base gasket'"


def test_words_that_may_hardly_be_another_bear_no_mark() -> None:
    likely = LOG.corrections[2]
    for score, marked in ((0.3, True), (0.1, False)):
        log = replace(LOG, corrections=(replace(likely, decision="ask", score=score),))
        pieces = [piece for paragraph in page_context(log, VOCABULARY).paragraphs for piece in paragraph.pieces]
        assert any(piece.decision == "ask" for piece in pieces) == marked


def test_a_doubtful_figure_shows_every_reading_and_is_not_converted() -> None:
    figure = page_context(LOG, VOCABULARY).doubtful[0]
    assert figure.readings == ("50 lbf·ft", "15 lbf·ft")
    assert figure.conversion == ""


def test_the_line_of_time_holds_every_event_at_its_place() -> None:
    line = page_context(LOG, VOCABULARY).timeline
    marks = {mark.anchor: mark.left for row in line.rows for mark in row.marks}
    assert set(marks) == {event.id for event in LOG.events}
    for event in LOG.events:
        assert marks[event.id] == pytest.approx(100 * event.start_ms / LOG.recording.duration_ms, abs=0.01)
    assert sum(stretch.width for stretch in line.chapters) == pytest.approx(100, abs=0.1)
    assert len(line.loose) == 5
    assert len(line.ticks) <= 6
    assert "5 loose ends open" in line.summary


def test_anchors_of_two_recordings_in_one_book_stay_apart() -> None:
    from pipeline.render.documents import html

    one, two = (html(page_context(LOG, VOCABULARY, prefix=prefix)) for prefix in ("r1-", "r2-"))
    for prefix, page in (("r1-", one), ("r2-", two)):
        anchors = re.findall(r'(?:id="|href="#)([^"]+)', page)
        assert {anchor for anchor in anchors if not anchor.startswith(prefix)} == {"work", "h-key"}


def test_parts_of_one_place_are_one_row() -> None:
    rows = {row.part: row for row in page_context(LOG, VOCABULARY).parts}
    assert rows["barrel"].work == ["earlier: machined", "fitted"]
    assert rows["valves"].count == 2
    assert rows["fork oil"].amount == "190 mL, SAE 10" or rows["fork oil"].work == ["to do: fill right fork leg"]
    assert "torque wrench" not in rows
    assert "split pin" not in rows and "dowel" not in rows, "not fitted, and only advised"


def test_a_place_that_the_name_tells_is_not_said_twice() -> None:
    said = replace(LOG.events[9], id="a", part="rear brake shoe", position="rear")
    again = replace(LOG.events[9], id="b", part="rear brake shoe", position="")
    qty = replace(LOG.quantities[3], subject="rear spindle nut", position="rear", side="left")
    page = page_context(replace(LOG, events=(said, again), mentions=(), loose_ends=(), quantities=(qty,)), VOCABULARY)
    assert [row.title for row in page.parts] == ["rear brake shoes"]
    assert page.all_figures[0].of_what == "left rear spindle nut"


def test_two_names_of_one_term_are_one_row() -> None:
    one = replace(LOG.events[3], id="a", part="circlip")
    other = replace(LOG.events[3], id="b", part="snap ring", action="inspect", condition="")
    page = page_context(replace(LOG, events=(one, other), mentions=(), loose_ends=()), VOCABULARY)
    assert [(row.part, row.work) for row in page.parts if row.kind != "fluid"] == [
        ("circlips", ["fitted", "inspected"])
    ]


def test_a_part_goes_by_the_other_name_that_the_speaker_keeps_to() -> None:
    one = replace(LOG.events[3], id="a", part="big end", count=None)
    other = replace(LOG.events[3], id="b", part="big end bearing", action="inspect", condition="", count=None)
    for events, name in (((one,), "big end"), ((one, other), "big end bearing"), ((other, one), "big end bearing")):
        page = page_context(replace(LOG, events=events, mentions=(), loose_ends=()), load_vocabulary())
        assert [row.part for row in page.parts if row.kind != "fluid"] == [name]


def test_an_old_and_a_new_part_are_two_rows() -> None:
    fitted = replace(LOG.events[3], part="piston", id="a", condition="new", count=2)
    removed = replace(LOG.events[3], part="piston", id="b", action="remove", condition="original", count=2)
    checked = replace(LOG.events[3], part="piston", id="c", action="inspect", condition="", count=None)
    log = replace(LOG, events=(removed, fitted, checked), mentions=(), loose_ends=())
    rows = [(row.condition, row.work) for row in page_context(log, VOCABULARY).parts if row.kind != "fluid"]
    assert rows == [("original", ["removed", "inspected"]), ("new", ["fitted"])]


@pytest.mark.parametrize(
    ("name", "made_on", "day"),
    [
        ("a.wav", "2031-05-17", "17 May 2031"),
        ("a.wav", "2031-05-07T09:00:00+01:00", "7 May 2031"),
        ("2031-05-17 bench.wav", "", "17 May 2031"),
        ("bench_20310517_1020.mp4", "", "17 May 2031"),
        ("17-05-2031.wav", "", ""),
        ("20311350.wav", "", ""),
        ("VID2031051712.mp4", "", ""),
        ("a.wav", "soon", ""),
    ],
)
def test_the_date_if_it_is_known_for_sure(name: str, made_on: str, day: str) -> None:
    log = replace(LOG, recording=replace(LOG.recording, name=name, made_on=made_on))
    assert page_context(log, VOCABULARY).day == day


def test_the_title_is_the_machine_or_the_recording() -> None:
    assert page_context(LOG, VOCABULARY).title == "Penhallow 175"
    nameless = replace(LOG, settings=replace(LOG.settings, machine=""))
    assert page_context(nameless, VOCABULARY).title == "Penhallow 175", "as the speaker introduces it"
    nameless = replace(nameless, words=tuple(replace(word, text="so") for word in nameless.words))
    assert page_context(nameless, VOCABULARY).title == "Penhallow day 3"


def test_a_recording_that_is_not_there_gets_no_player(tmp_path: Path) -> None:
    assert media_beside(None, tmp_path) == Media()
    assert media_beside(tmp_path / "gone.wav", tmp_path) == Media()
    (tmp_path / "words.vtt").write_text("WEBVTT\n")
    assert media_beside(tmp_path / "words.vtt", tmp_path) == Media(), "a transcript cannot be played"


def test_silence_gives_whole_documents() -> None:
    from pipeline.render import WRITERS

    for log in (EMPTY, replace(EMPTY, words=WORDS[:3])):
        page = page_context(log, VOCABULARY)
        assert page.to_check == 0
        for writer in WRITERS.values():
            assert writer(page)
        assert "No work was recognised" in WRITERS["log.html"](page)
        assert "No loose ends" in WRITERS["log.md"](page)


def test_overlapping_corrections_lose_no_word() -> None:
    """A log made by hand may hold what the program never writes."""
    corr = Correction(1, 4, "a b c", "d", 0.9, "auto", "")
    log = BuildLog(Recording("a", 0, ""), WORDS[:5], (corr, replace(corr, start_word=2, end_word=3)))
    assert [piece.start_word for piece in pieces_of(log)] == [0, 1, 4]


def _order(*steps: tuple[str, str, str]) -> BuildLog:
    first = LOG.events[0]
    events = tuple(
        replace(first, id=f"s{n}", action=action, part=part, status=status, sequence=1, step=n)  # type: ignore[arg-type]
        for n, (action, part, status) in enumerate(steps, start=1)
    )
    return replace(LOG, events=events, mentions=(), loose_ends=())


def test_an_order_of_assembly_has_three_parts_that_went_on() -> None:
    parts = [("fit", "shim", "done"), ("fit", "gear", "done"), ("fit", "circlip", "provisional")]
    ((number, steps),) = page_context(_order(*parts), VOCABULARY).orders
    assert (number, [step.event.part for step in steps]) == (1, ["shim", "gear", "circlip"])
    twice = page_context(_order(*parts, ("assemble", "gear", "done")), VOCABULARY).orders
    assert [len(steps) for _, steps in twice] == [3]


def test_what_came_off_or_is_to_do_is_no_step_and_two_parts_are_no_order() -> None:
    two = [("fit", "shim", "done"), ("fit", "gear", "done")]
    for third in (("remove", "circlip", "done"), ("fit", "circlip", "planned"), ("fit", "shim", "done")):
        assert not page_context(_order(*two, third), VOCABULARY).orders, third


def test_figures_go_by_the_speakers_word() -> None:
    words = tuple(Word(word, n * 300, n * 300 + 200) for n, word in enumerate(("the", "snap", "ring", "is", "40")))
    qty = replace(LOG.quantities[0], subject="circlip", position="", side="", start_word=4, end_word=5)
    log = BuildLog(Recording("a", 9000, ""), words, quantities=(qty,))
    assert [figure.of_what for figure in page_context(log, load_vocabulary()).all_figures] == ["snap ring"]
    unsaid = replace(log, words=(Word("forty", 0, 200),), quantities=(replace(qty, start_word=0, end_word=1),))
    assert [figure.of_what for figure in page_context(unsaid, load_vocabulary()).all_figures] == ["circlip"]


def test_what_is_measured_is_no_part() -> None:
    event = replace(LOG.events[0], action="adjust", part="tappet clearance", status="done")
    part = replace(LOG.events[0], id="b", action="fit", part="tappet adjuster", status="done")
    log = replace(LOG, events=(event, part), mentions=(), loose_ends=())
    assert [row.part for row in page_context(log, load_vocabulary()).parts if row.kind != "fluid"] == [
        "tappet adjuster"
    ]
