"""The parts list: rows of things with one name, numbers, features that are no parts, and fluids that no entry has."""

from __future__ import annotations

from dataclasses import replace

from pipeline.records import BuildLog, PartMention, PartNumber, Recording, Word
from pipeline.render import page_context
from pipeline.vocabulary import load_vocabulary

VOCABULARY = load_vocabulary()


def _mention(part: str, said: str, at: int, count: int | None = None) -> PartMention:
    return PartMention(part, "", "", "", "", count, said, at, at + 2, at * 400)


def _rows(*mentions: PartMention, numbers: tuple[PartNumber, ...] = ()) -> list[tuple[str, int | None, str]]:
    words = tuple(Word("so", at * 400, at * 400 + 300) for at in range(400))
    log = BuildLog(Recording("a", 160_000, ""), words, mentions=mentions, part_numbers=numbers)
    return [(row.title, row.count, row.number) for row in page_context(log, VOCABULARY).parts]


def test_nuts_of_different_things_have_a_row_each() -> None:
    wheel, cover = _mention("wheel hub", "the hub", 1), _mention("rocker cover", "the rocker cover", 200)
    four, six = _mention("nut", "four nuts", 5, 4), _mention("nut", "six nuts", 205, 6)
    assert [row for row in _rows(wheel, four, cover, six) if "nut" in row[0]] == [("nuts", 4, ""), ("nuts", 6, "")]
    again = _mention("nut", "those nuts", 300)
    assert [row for row in _rows(wheel, four, again) if "nut" in row[0]] == [("nuts", 4, "")], "spoken of once more"
    pistons = (_mention("piston", "the piston", 5), _mention("piston", "a piston", 300))
    assert _rows(*pistons) == [("piston", None, "")], "its name says what it is"


def test_holes_and_sparks_are_no_parts() -> None:
    titles = [row[0] for row in _rows(_mention("hole", "the holes", 1), _mention("piston", "the piston", 9))]
    assert titles == ["piston"]


def test_numbers_stand_with_their_parts() -> None:
    bearing = _mention("wheel bearing", "the wheel bearings", 5)
    number = PartNumber("wheel bearing", "", "", "6203 2RS", "six two oh three", 9, 13, 3600)
    rows = _rows(
        bearing, numbers=(number, replace(number, part="chain guard", number="D9-0631", start_word=50, end_word=53))
    )
    assert sorted(rows) == [("chain guard", None, "D9-0631"), ("wheel bearings", None, "6203 2RS")]


def test_what_is_used_and_in_no_entry_is_in_the_parts_list() -> None:
    said = (
        "The case was scrubbed with paraffin and then a dab of thread lock. No silicone grease in it. Mind the petrol."
    )
    words = tuple(Word(word, at * 400, at * 400 + 300) for at, word in enumerate(said.split()))
    log = BuildLog(Recording("a", 60_000, ""), words)
    rows = [(row.title, row.kind, row.work) for row in page_context(log, VOCABULARY).parts]
    assert rows == [("paraffin", "fluid", ["spoken of"]), ("thread lock", "fluid", ["spoken of"])]
