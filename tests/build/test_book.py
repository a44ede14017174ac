"""The build book: what must stand in it, where its links lead, and that foreign words stay words."""

from __future__ import annotations

import csv
import dataclasses
import io
import re
import urllib.parse
import wave
from html.parser import HTMLParser
from pathlib import Path

import pytest

from pipeline.build import Build, add_recording, read_build, start_build, write_book
from pipeline.build.book import Book, make_book
from pipeline.build.book_files import WRITERS
from pipeline.build.book_parts import BookPart, part_counts
from pipeline.records import BuildLog, Event, Finding, PartMention, Quantity, Settings, Word
from pipeline.render.inert import csv_cell, plain_text
from pipeline.vocabulary import Vocabulary
from tests.build.penhallow_days import DAYS, day_one, day_three, day_two
from tests.render.readers import read_csv, read_html, read_markdown
from tests.render.test_hostile import HOSTILE, poisoned


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory, vocabulary: Vocabulary) -> Path:
    """The three days written up; the sound of the first lies in the build folder."""
    folder = tmp_path_factory.mktemp("builds") / "penhallow"
    start_build(folder, Settings(machine="Penhallow 175", units="imperial"))
    for make in DAYS:
        add_recording(folder, make())
    with wave.open(str(folder / day_one().recording.name), "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(1)
        sound.setframerate(8000)
        sound.writeframes(b"\x80" * 8000)
    write_book(read_build(folder), vocabulary, folder)
    return folder


def book_of(logs: list[BuildLog], folder: Path, vocabulary: Vocabulary, settings: Settings | None = None) -> Book:
    start_build(folder, settings or Settings(machine="Penhallow 175"))
    for log in logs:
        add_recording(folder, log)
    return make_book(read_build(folder), vocabulary, folder)


class _Anchors(HTMLParser):
    """Ids and addresses of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: set[str] = set()
        self.links: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name == "id":
                assert value not in self.ids, f"{value} is there twice"
                self.ids.add(value or "")
            elif name in ("href", "src"):
                self.links.append(value or "")


def test_every_fact_of_every_day_is_in_both_books(folder: Path) -> None:
    shown_html = " ".join(read_html((folder / "book.html").read_text())[0].split())
    shown_md = " ".join(read_markdown((folder / "book.md").read_text())[0].split())
    for make in DAYS:
        log = make()
        evidence = [event.said for event in log.events]
        evidence += [note.said for note in log.notes] + [loose.said for loose in log.loose_ends]
        for said in evidence:
            assert said in shown_html and said in shown_md
        for chapter in log.chapters:
            assert chapter.title in shown_html
    for text in ("Penhallow 175", "3 May 2031", "17 May 2031", "not a specification", "the maker's manual"):
        assert text in shown_html and text in shown_md


def test_work_is_under_its_assembly_with_its_caution(folder: Path) -> None:
    text = (folder / "book.md").read_text()
    brakes = text[text.index("### Brakes") : text.index("### Gearbox")]
    assert brakes.index("> Brakes: check every figure") < brakes.index("Removed worn rear brake shoes (2)")
    assert brakes.index("Recording 1, 3 May") < brakes.index("Recording 2, 10 May") < brakes.index("Fitted new rear")
    tank = text[text.index("### Fuel system") :]
    assert "no flames" in tank[:300]


def test_assemblies_stand_in_the_order_in_which_their_work_began(folder: Path) -> None:
    text = (folder / "book.md").read_text()
    work = text[text.index("## The work") : text.index("## Parts")]
    titles = re.findall(r"^### (.*)", work, re.M)
    first = [re.search(rf"^### {title}.*?#### Recording (\d)", work, re.M | re.S) for title in titles]
    numbers = [match[1] for match in first if match]
    assert len(titles) > 4 and numbers == sorted(numbers)


def test_a_closed_loose_end_says_what_closed_it_and_when(folder: Path) -> None:
    text = (folder / "book.md").read_text()
    closed = next(line for line in text.splitlines() if re.match(r"- \[x\] \*\*.*gearbox\*\*", line, re.I))
    assert "Closed: Filled gearbox with 500 mL of gear oil, 17 May 2031" in closed
    assert "2031-05-17-penhallow-day-3/log.html#w2" in closed
    assert re.findall(r"^- \[(.)\] .*exhaust flange nut\*\*", text, re.M | re.I) == [" "]


def test_every_link_leads_somewhere(folder: Path) -> None:
    """Each address of the book is a place in it, a file, or a word of a recording's own page."""
    page = _Anchors((folder / "book.html").read_text())
    ids = {path: _Anchors(path.read_text()).ids for path in folder.glob("recordings/*/log.html")}
    assert len(ids) == 3
    leads = {"here": 0, "words": 0, "sound": 0}
    for link in page.links:
        address, _, anchor = urllib.parse.unquote(link).partition("#")
        if not address:
            assert anchor in page.ids, link
            leads["here"] += 1
        elif address.endswith("log.html"):
            assert not anchor or anchor in ids[folder / address], link
            leads["words"] += 1
        else:
            assert (folder / address).is_file() and re.fullmatch(r"t=\d+\.\d", anchor), link
            leads["sound"] += 1
    assert min(leads.values()) >= 5, leads


def test_links_from_another_folder(folder: Path, tmp_path: Path, vocabulary: Vocabulary) -> None:
    into = tmp_path / "for the owner" / "a#b"
    write_book(read_build(folder), vocabulary, into)
    links = [link for link in _Anchors((into / "book.html").read_text()).links if not link.startswith("#")]
    assert links and all((into / urllib.parse.unquote(link.partition("#")[0])).is_file() for link in links)


def test_a_word_link_leads_to_the_first_word_of_the_evidence(folder: Path) -> None:
    text = (folder / "book.md").read_text()
    line = next(line for line in text.splitlines() if "Fitted new rear brake shoes" in line)
    word = int(re.search(r"day-2/log\.html#w(\d+)", line)[1])  # type: ignore[index]
    assert day_two().words[word].text == "New"


def test_parts_over_all_days(folder: Path) -> None:
    rows = {
        (row["part"], row["condition"]): row for row in csv.DictReader(io.StringIO((folder / "parts.csv").read_text()))
    }
    assert rows["brake shoes", "worn"]["origin"] == "worn or broken"
    assert rows["brake shoes", "new"]["work"] == "fitted"
    cover = rows["primary cover", "original"]
    assert (cover["origin"], cover["finish"], cover["work"]) == ("refinished", "enamelled gloss grey", "fitted")
    assert rows["cylinder head nuts", ""]["count"] == "4"
    assert ("filter bowl seal", "new") not in rows, "what the viewer is told to fit is no part of this machine"
    oils = [row for row in csv.DictReader(io.StringIO((folder / "parts.csv").read_text())) if row["kind"] == "fluid"]
    assert [row["amount"] for row in oils if row["part"] == "fork oil"].count("190 mL") >= 1


def test_a_part_says_what_it_is_ordered_by() -> None:
    bearing = BookPart("bearing", "part", "", "", "", "", "", None, "", "new", part_number="6205 2RS")
    assert bearing.what == "new, 6205 2RS"
    assert dataclasses.replace(bearing, origin="not said", part_number="").what == ""


def test_figures_over_all_days(folder: Path) -> None:
    rows = list(csv.DictReader(io.StringIO((folder / "figures.csv").read_text())))
    assert len(rows) == sum(len(make().quantities) for make in DAYS)
    fork = next(row for row in rows if row["side"] == "left")
    # 1 imperial fluid ounce is 28.4130625 mL (NIST SP 811, appendix B.8): 190 / 28.413 = 6.687.
    assert "6.69 imp fl oz" in fork["equals"]
    head = next(row for row in rows if row["value"] == "25")
    # 1 lbf·ft is 1.355818 N·m (NIST SP 811, appendix B.8): 25 / 1.355818 = 18.44.
    assert head["equals"] == "18.4 lbf·ft"
    spindle = next(row for row in rows if row["subject"] == "wheel spindle nut")
    assert (spindle["doubtful"], spindle["other_readings"], spindle["equals"]) == ("yes", "15", "")


def test_figures_of_the_book_go_by_the_speakers_word(tmp_path: Path, vocabulary: Vocabulary) -> None:
    words = tuple(Word(word, n * 300, n * 300 + 200) for n, word in enumerate(("the", "lug", "nuts", "at", "eighty")))
    qty = dataclasses.replace(day_one().quantities[0], subject="wheel nut", position="", side="", start_word=4)
    log = dataclasses.replace(day_one(), words=words, quantities=(dataclasses.replace(qty, end_word=5),), events=())
    log = dataclasses.replace(log, corrections=(), mentions=(), notes=(), loose_ends=(), findings=(), chapters=())
    book = book_of([log], tmp_path / "build", vocabulary)
    for name in ("book.html", "book.md"):
        assert "lug nut" in WRITERS[name](book) and "wheel nut" not in WRITERS[name](book), name


def test_a_doubtful_figure_is_told_once(tmp_path: Path, vocabulary: Vocabulary) -> None:
    log = day_three()
    start_ms = log.quantities[1].start_ms
    doubt = Finding("check", "doubtful_figure", "50 lbf·ft or 15 lbf·ft: listen at 0:20", start_ms)
    book = book_of([dataclasses.replace(log, findings=(doubt,))], tmp_path / "b", vocabulary)
    assert (len(book.doubtful), len(book.checks), book.to_check) == (1, 0, 1)
    path = tmp_path / "b" / "build.toml"
    path.write_text(path.read_text().replace("settled = []", 'settled = ["2031-05-17-penhallow-day-3 0:20"]'))
    book = make_book(read_build(tmp_path / "b"), vocabulary, tmp_path)
    assert (len(book.doubtful), len(book.checks), book.to_check) == (0, 0, 0)


def test_a_fluid_that_was_itself_filled_in_has_its_amount(tmp_path: Path, vocabulary: Vocabulary) -> None:
    log = day_three()
    fill = dataclasses.replace(log.events[0], part="gear oil", fluid="")
    book = book_of([dataclasses.replace(log, events=(fill,))], tmp_path / "b", vocabulary)
    assert [(row.part, row.amount, row.work) for row in book.fluids] == [("gear oil", "500 mL", ["filled"])]


def test_a_question_about_words_stands_apart(tmp_path: Path, vocabulary: Vocabulary) -> None:
    ask = Finding("check", "ask", "Did you say “gudgeon pin” where “good gin pin” was heard?", 2_000)
    book = book_of([dataclasses.replace(day_one(), findings=(ask,))], tmp_path / "b", vocabulary)
    assert ([line.rule for line, _ in book.asked], book.checks) == (["ask"], ())


def test_said_order(folder: Path) -> None:
    text = (folder / "book.md").read_text()
    order = text[text.index("## Order of assembly") : text.index("## Loose ends that were closed")]
    assert re.findall(r"^(\d)\. (\w+ [a-z ]+) \[", order, re.M) == [
        ("1", "Fitted shim"), ("2", "Fitted thrust washer"), ("3", "Fitted layshaft first gear"),
    ]  # fmt: skip


def test_an_entry_that_left_something_open_says_what_closed_it(folder: Path) -> None:
    text = (folder / "book.md").read_text()
    drained = next(line for line in text.splitlines() if line.startswith("- Drained") and "gearbox" in line.lower())
    assert "Since then: Filled gearbox with 500 mL of gear oil, [recording 3 at" in drained
    nipped = next(line for line in text.splitlines() if "exhaust flange nut" in line and line.startswith("- For now"))
    assert "Since then" not in nipped
    assert "Since then: <bdi>Filled gearbox" in (folder / "book.html").read_text()


def part(name: str, condition: str = "", finish: str = "", **fields: str) -> PartMention:
    return PartMention(name, fields.get("side", ""), "", condition, finish, None, "word", 0, 1, 300)


def event(action: str, name: str, condition: str = "", **fields: object) -> Event:
    own = {"status": "done", "side": "", "position": "", "finish": "", "count": None, "quantities": (), "tool": "",
           "said": "word", "start_word": 0, "end_word": 1, "start_ms": 300}  # fmt: skip
    return Event(id="", action=action, part=name, condition=condition, **own | fields)  # type: ignore[arg-type]


# What was said of a part, day by day, and the rows that come of it: (part, what it is, number).
PARTS: dict[str, tuple[list[list[Event | PartMention]], list[tuple[str, str, int | None]]]] = {
    "shown, then fitted": ([[part("piston", "new")], [event("fit", "piston")]], [("piston", "new", None)]),
    "one, then several": (
        [[event("fit", "split pin")], [event("fit", "split pin", count=3)]], [("split pins", "", 3)],
    ),
    "worn off, new on": (
        [[event("remove", "piston", "worn")], [event("fit", "piston", "new")]],
        [("piston", "worn", None), ("piston", "new", None)],
    ),
    "worn off, on again without a word": (
        [[event("remove", "piston", "worn")], [event("fit", "piston")]],
        [("piston", "worn", None), ("piston", "", None)],
    ),
    "original, painted later": (
        [[part("primary cover", "original")], [event("coat", "primary cover", finish="gloss black")]],
        [("primary cover", "refinished (original, gloss black)", None)],
    ),
    "bare is not refinished": (
        [[part("primary cover", "original", "bare metal")]], [("primary cover", "original, bare metal", None)],
    ),
    "renewed is new": ([[event("renew", "gudgeon pin")]], [("gudgeon pin", "new", None)]),
    "left and right": (
        [[event("fit", "fork leg", side="left"), event("fit", "fork leg", side="right")]],
        [("fork leg", "", None), ("fork leg", "", None)],
    ),
    "said not to be fitted": ([[event("fit", "split pin", status="negated")]], []),
    "advised": ([[event("fit", "split pin", status="advised")]], []),
    "its name tells the place": (
        [[part("front brake shoe", "worn", side="")], [event("remove", "front brake shoe", "worn", position="front")]],
        [("front brake shoe", "worn", None)],
    ),
    "by two names": (
        [[event("torque", "cylinder head nut")], [event("torque", "head nut", count=4)]],
        [("cylinder head nuts", "", 4)],
    ),
    "called for short": (
        [[event("fit", "clutch cable", "new"), event("route", "cable")]], [("clutch cable", "new", None)],
    ),
    "new bolts are not those that came off": (
        [[event("remove", "bolt", count=4)], [event("fit", "bolt", "new", count=4)]],
        [("bolts", "", 4), ("bolts", "new", 4)],
    ),
    "both are two": (
        [[event("remove", "side cover", side="both")], [event("fit", "side cover", count=2)]],
        [("side covers", "", 2)],
    ),
    "only named": ([[part("layshaft")]], []),
    "a tool is no part": ([[event("fit", "flywheel puller")]], []),
}  # fmt: skip


@pytest.mark.parametrize("case", PARTS)
def test_rows_of_parts(tmp_path: Path, vocabulary: Vocabulary, case: str) -> None:
    days, rows = PARTS[case]
    logs = []
    for number, items in enumerate(days, start=1):
        blank = day_one()
        events = tuple(
            dataclasses.replace(item, id=f"e{place}") for place, item in enumerate(items, 1) if isinstance(item, Event)
        )
        mentions = tuple(item for item in items if isinstance(item, PartMention))
        recording = dataclasses.replace(blank.recording, name=f"day {number}.wav", sha256=f"{number:064x}")
        words = tuple(Word("word", place * 300, place * 300 + 200) for place in range(5))
        logs.append(BuildLog(recording, words, events=events, mentions=mentions))
    book = book_of(logs, tmp_path / "b", vocabulary)
    assert [(row.part, row.what, row.count) for row in book.parts] == rows


def test_counts_of_parts(tmp_path: Path, vocabulary: Vocabulary) -> None:
    book = book_of([make() for make in DAYS], tmp_path / "b", vocabulary)
    counts = {origin: (rows, pieces) for origin, rows, pieces in part_counts(book.parts)}
    assert counts["new"] == (2, 3), "two brake shoes and a gasket"
    assert counts["refinished"] == (1, 1)
    assert sum(rows for rows, _ in counts.values()) == len(book.parts)


def test_american_reader(tmp_path: Path, vocabulary: Vocabulary) -> None:
    settings = Settings(machine="Penhallow 175", spelling="american")
    book = book_of([day_two()], tmp_path / "b", vocabulary, settings)
    text = WRITERS["book.html"](book)
    assert 'lang="en-US"' in text and "May 10, 2031" in text and "Wheels and tires" in text


def test_an_empty_build(tmp_path: Path, vocabulary: Vocabulary) -> None:
    book = book_of([], tmp_path / "b", vocabulary)
    for name, reader in (("book.html", read_html), ("book.md", read_markdown)):
        assert "No recording has been added yet" in reader(WRITERS[name](book))[0]


def test_a_recording_without_words(tmp_path: Path, vocabulary: Vocabulary) -> None:
    silent = BuildLog(dataclasses.replace(day_one().recording, duration_ms=0), ())
    book = book_of([silent], tmp_path / "b", vocabulary)
    shown, _ = read_html(WRITERS["book.html"](book))
    assert "Nothing was said" in shown and "No work was recognised" in shown


def test_pages_of_recordings_are_made_where_they_are_missing_or_old(folder: Path, vocabulary: Vocabulary) -> None:
    build = read_build(folder)
    first, second, _ = (recording.folder / "log.html" for recording in build.recordings)
    first.unlink()
    before = second.stat().st_mtime_ns
    write_book(build, vocabulary, folder)
    assert first.is_file() and second.stat().st_mtime_ns == before


_OF_THE_BOOK = {"element search", "element label", "element input", "element details", "element summary", "element h4"}


def _foreign(faults: list[str], name: str) -> list[str]:
    """What the readers complain of, without what a book has and a log page has not: a search box, links."""
    if name == "book.md":
        return [fault for fault in faults if not fault.startswith("link_open")]
    return [fault for fault in faults if fault not in _OF_THE_BOOK]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_words_are_only_words(text: str, tmp_path: Path, vocabulary: Vocabulary) -> None:
    log: BuildLog = poisoned(day_two(), text)
    log = dataclasses.replace(log, words=tuple(dataclasses.replace(word, text=text) for word in log.words))
    build = read_build(_with(log, tmp_path))
    settings = dataclasses.replace(build.settings, settings=dataclasses.replace(build.settings.settings, machine=text))
    book = make_book(Build(build.folder, settings, build.recordings), vocabulary, tmp_path)
    squeezed = "".join(plain_text(text).split())
    for name, reader in (("book.html", read_html), ("book.md", read_markdown)):
        shown, faults = reader(WRITERS[name](book))
        assert _foreign(faults, name) == [], name
        assert squeezed in "".join(shown.split()), f"{name} shows something else"
    for name in ("parts.csv", "figures.csv"):
        rows, faults = read_csv(WRITERS[name](book))
        assert faults == [] and rows, name
        assert all(row["said"] == csv_cell(text) for row in rows)


def test_links_of_the_markdown_book_lead_only_to_its_own_recordings(tmp_path: Path, vocabulary: Vocabulary) -> None:
    for number, text in enumerate(HOSTILE):
        log: BuildLog = poisoned(day_two(), text)
        build = read_build(_with(log, tmp_path / str(number)))
        text_md = WRITERS["book.md"](make_book(build, vocabulary, build.folder))
        links = re.findall(r"(?<!\\)\]\((.*?)\)", text_md)
        assert links and all(link.startswith("<./recordings/") for link in links)


def _with(log: BuildLog, tmp_path: Path) -> Path:
    folder = tmp_path / "b"
    start_build(folder, Settings(machine="Penhallow 175"))
    add_recording(folder, log)
    return folder


def test_figures_of_the_page_are_spoken_figures(folder: Path) -> None:
    """No quantity comes out without the caution above its table."""
    text = (folder / "book.html").read_text()
    for heading in ('id="h-figures"', 'id="h-fluids"'):
        start = text.index(heading)
        assert "not a specification" in text[start : text.index("<table>", start)]


def test_quantities_keep_their_place(folder: Path) -> None:
    rows = list(csv.DictReader(io.StringIO((folder / "figures.csv").read_text())))
    by_id: dict[tuple[str, str], Quantity] = {
        (make().recording.name[:10], qty.id): qty for make in DAYS for qty in make().quantities
    }
    for row in rows:
        qty = by_id[row["recording"][:10], row["quantity"]]
        assert (float(row["value"]), row["unit"], int(row["start_ms"])) == (qty.value, qty.unit, qty.start_ms)
