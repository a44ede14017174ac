"""The filter `witnessmark extract`: one line in, one line out."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from pipeline.cli.extract import extract
from pipeline.cli.main import main

SAID = "two M6 bolts to ten newton metres\n\nnothing to see here\na pint of gear oil went in\n"


def test_each_line_gives_one_json_object() -> None:
    result = CliRunner().invoke(extract, ["--json"], input=SAID)
    assert result.exit_code == 0, result.output
    found = [json.loads(line) for line in result.output.splitlines()]
    assert len(found) == 4
    assert all(set(item) == {"quantities", "events"} for item in found)
    kinds = [[(qty["kind"], qty["value"], qty["unit"]) for qty in item["quantities"]] for item in found]
    assert kinds == [[("count", 2, ""), ("thread", 6, "mm"), ("torque", 10, "N·m")], [], [], [("volume", 1, "pt_imp")]]
    fields = {"id", "kind", "value", "high", "unit", "approximate", "said", "start_word", "end_word", "start_ms"}
    assert fields <= set(found[0]["quantities"][0])


def test_plain_output_shows_conversions_and_what_they_belong_to() -> None:
    result = CliRunner().invoke(extract, [], input="the drain plug is twenty five newton metres\n")
    assert result.output.startswith("torque 25 N·m (18.4 lbf·ft) [drain plug]")


def test_units_can_be_declared() -> None:
    result = CliRunner().invoke(extract, ["--units", "us"], input="half a pint of oil\n")
    assert "volume 0.5 US pt (237 mL)" in result.output


def test_text_that_is_not_utf8_is_one_sentence(tmp_path, capsys) -> None:  # type: ignore[no-untyped-def]
    path = tmp_path / "said.txt"
    path.write_bytes("fünf Liter".encode("latin-1"))
    with pytest.raises(SystemExit) as stopped:
        main(["extract", str(path)])
    assert stopped.value.code == 2
    error = capsys.readouterr().err
    assert "not UTF-8" in error
    assert "Traceback" not in error


def test_a_pack_that_is_not_there_is_one_sentence(capsys) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(SystemExit) as stopped:
        main(["extract", "--vocab", "spaceships"])
    assert stopped.value.code == 2
    assert "there are:" in capsys.readouterr().err
