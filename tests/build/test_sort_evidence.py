"""The sort of a build's machine is told by all its recordings, and each page goes by that."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pipeline.build import add_recording, read_build, start_build
from pipeline.build.book import make_book
from pipeline.cli.main import main
from pipeline.records import BuildLog, Event, Recording, Settings
from pipeline.render import SortEvidence
from pipeline.tokens import line_words
from pipeline.vocabulary import Vocabulary

INTRODUCED = "Right, this is the old platen press, out of a chapel vestry."


def _log(name: str, spoken: str, vocabulary: Vocabulary, *parts: str) -> BuildLog:
    of = {term: entry.part_of for entry in vocabulary.terms for term in entry.spellings}
    events = tuple(
        Event(f"e{at}", "fit", part, "done", "", "", "", "", None, (), "", part, at, at + 1, at * 300, of[part])
        for at, part in enumerate(parts)
    )
    words = tuple(line_words(spoken))
    return BuildLog(Recording(name, 60_000, name * 64), words, events=events, settings=Settings(machine="Elder Jane"))


def _titles(folder: Path, vocabulary: Vocabulary) -> list[list[str]]:
    book = make_book(read_build(folder), vocabulary, folder)
    return [[group.title for group in day.page.groups] for day in book.days]


def test_what_one_recording_introduces_holds_for_the_others(tmp_path: Path, vocabulary: Vocabulary) -> None:
    start_build(tmp_path, Settings(machine="Elder Jane"))
    second = _log("b", "The springs are in and the flywheel is on.", vocabulary, "saddle spring", "flywheel")
    add_recording(tmp_path, second)
    assert _titles(tmp_path, vocabulary) != [["In the order told"]], "by itself it may be any machine's"
    add_recording(tmp_path, _log("a", INTRODUCED, vocabulary))
    assert _titles(tmp_path, vocabulary)[-1] == ["In the order told"]


def test_what_only_doubtful_words_name_tells_nothing_of_the_machine(vocabulary: Vocabulary) -> None:
    log = _log("a", "So that one is in.", vocabulary, "derailleur")
    assert SortEvidence.by(log, vocabulary).parts == {("drivetrain", "derailleur")}
    doubtful = replace(log, events=tuple(replace(event, doubt="the railer") for event in log.events))
    assert not SortEvidence.by(doubtful, vocabulary).parts


def test_a_page_written_again_goes_by_the_whole_build(
    tmp_path: Path, vocabulary: Vocabulary, capsys: pytest.CaptureFixture[str]
) -> None:
    start_build(tmp_path, Settings(machine="Elder Jane"))
    log = _log("b", "The springs are in and the flywheel is on.", vocabulary, "saddle spring", "flywheel")
    place = add_recording(tmp_path, log)
    add_recording(tmp_path, _log("a", INTRODUCED, vocabulary))
    with pytest.raises(SystemExit):
        main(["render", str(place / "log.json")])
    assert "In the order told" in (place / "log.md").read_text()
    assert str(place / "log.html") in capsys.readouterr().out
