"""The build folder: what `start` makes, what may be edited in it, and what is said when that goes wrong."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pipeline.build import build_settings, build_vocabulary, start_build
from pipeline.build.folder import locked, read_settings, slug_of
from pipeline.errors import WitnessmarkError
from pipeline.records import Settings
from pipeline.vocabulary import UserWords


def test_start_makes_a_commented_folder(tmp_path: Path) -> None:
    chosen = Settings("Penhallow 175", ("brakes", "motorcycle"), "imperial", "american")
    path = start_build(tmp_path / "a" / "penhallow", chosen)
    assert path.name == "build.toml"
    assert build_settings(path.parent) == chosen
    assert (path.parent / "recordings").is_dir() and (path.parent / "vocab").is_dir()
    comments = [line for line in path.read_text(encoding="utf-8").splitlines() if line.startswith("#")]
    assert len(comments) >= 5 and all(len(line) < 500 for line in comments)


def test_start_refuses_to_overwrite(tmp_path: Path) -> None:
    start_build(tmp_path, Settings("Penhallow 175"))
    before = (tmp_path / "build.toml").read_bytes()
    with pytest.raises(WitnessmarkError, match="already"):
        start_build(tmp_path, Settings("Tamsin 90"))
    assert (tmp_path / "build.toml").read_bytes() == before


def test_start_leaves_other_files_alone(tmp_path: Path) -> None:
    (tmp_path / "day1.mp4").write_bytes(b"film")
    start_build(tmp_path, Settings("Penhallow 175"))
    assert (tmp_path / "day1.mp4").read_bytes() == b"film"


@pytest.mark.parametrize("machine", ["", "  ", "two\x00parts", "back\u202eward", "bad\udcff"])
def test_start_wants_a_name(tmp_path: Path, machine: str) -> None:
    with pytest.raises(WitnessmarkError, match="name"):
        start_build(tmp_path / "b", Settings(machine))
    assert not (tmp_path / "b").exists()


def test_start_names_the_packs_there_are(tmp_path: Path) -> None:
    with pytest.raises(WitnessmarkError, match=r"'bikes'.*there are.*motorcycle"):
        start_build(tmp_path / "b", Settings("Penhallow 175", ("bikes",)))
    assert not (tmp_path / "b").exists()


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(machine=st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=40))
def test_any_printable_name_survives(tmp_path_factory: pytest.TempPathFactory, machine: str) -> None:
    """Quotation marks, backslashes, # and every script: the file is TOML and says what was given."""
    folder = tmp_path_factory.mktemp("build")
    start_build(folder, Settings(machine))
    assert build_settings(folder).machine == machine


@pytest.mark.parametrize(
    ("line", "complaint"),
    [
        ("machine = 175", "machine must be a text"),
        ('units = "metric"', "there are: imperial, us"),
        ('spelling = "scottish"', "there are: british, american"),
        ('vocab = "brakes"', "must be a list"),
        ("vocab = [1]", "must be a list"),
        ('colour = "grey"', "no setting called 'colour'; there are: machine"),
        ("machine = ", "mend that"),
        ("machine = 'a'\nmachine = 'b'", "mend that"),
    ],
)
def test_a_wrong_setting_is_one_sentence(empty: Path, line: str, complaint: str) -> None:
    (empty / "build.toml").write_text(line + "\n", encoding="utf-8")
    with pytest.raises(WitnessmarkError, match=complaint) as error:
        build_settings(empty)
    assert "build.toml" in str(error.value)


def test_what_is_left_out_has_a_default(empty: Path) -> None:
    (empty / "build.toml").write_text('\ufeffmachine = "Brannock 5-inch"\r\n', encoding="utf-8")
    assert build_settings(empty) == Settings("Brannock 5-inch")


def test_no_build_says_how_to_start_one(tmp_path: Path) -> None:
    for folder in (tmp_path, tmp_path / "nowhere"):
        with pytest.raises(WitnessmarkError, match="witnessmark start"):
            build_settings(folder)


def test_a_folder_inside_a_build_names_the_build(empty: Path) -> None:
    with pytest.raises(WitnessmarkError, match=r"lies in the build .*; give that folder"):
        read_settings(empty / "recordings")
    with pytest.raises(WitnessmarkError, match="make one with"):
        read_settings(empty / "not there")


def test_own_words_of_the_build(empty: Path) -> None:
    (empty / "vocab" / "mine.txt").write_text("# seen only here\nPenhallow stay  plate\n\n", encoding="utf-8")
    (empty / "vocab" / "more.toml").write_text(
        '[terms]\n"tell-tale rod" = { also = ["telltale"], part_of = "gearbox" }\n', encoding="utf-8"
    )
    terms = {term.name: term for term in build_vocabulary(empty).terms}
    assert terms["Penhallow stay plate"].plural == "Penhallow stay plates"
    assert terms["tell-tale rod"].spellings == ("tell-tale rod", "telltale")
    assert "gudgeon pin" in terms


def test_words_taught_to_the_build(empty: Path) -> None:
    UserWords.load(empty).add("Penhallow stay plate", {"part_of": "frame"}).save()
    terms = {term.name: term for term in build_vocabulary(empty).terms}
    assert terms["Penhallow stay plate"].part_of == "frame"
    assert build_settings(empty).machine == "Penhallow 175"


def test_own_words_that_cannot_be_read(empty: Path) -> None:
    (empty / "vocab" / "mine.txt").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(WitnessmarkError, match=r"mine\.txt.*UTF-8"):
        build_vocabulary(empty)


def test_settled_places_are_read(empty: Path) -> None:
    path = empty / "build.toml"
    path.write_text(path.read_text().replace("settled = []", 'settled = ["day-1  3:12"]'))
    assert read_settings(empty).settled == {"day-1 3:12"}


def test_a_second_writer_waits_and_then_says_so(empty: Path) -> None:
    with locked(empty), pytest.raises(WitnessmarkError, match="another witnessmark is writing"), locked(empty, 0.1):
        pass
    with locked(empty, 0.1):
        pass


@pytest.mark.parametrize(
    ("name", "slug"),
    [
        ("day 3.wav", "day-3"),
        ("Día 2 – frenos.m4a", "día-2-frenos"),
        ("../../etc/passwd", "passwd"),
        (".hidden", "hidden"),
        ("", "recording"),
        ("???.mp4", "recording"),
        ("x" * 300 + ".mp4", "x" * 60),
    ],
)
def test_folder_names(name: str, slug: str) -> None:
    assert slug_of(name) == slug
