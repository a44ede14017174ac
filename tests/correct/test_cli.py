"""The commands: correct as a filter, vocab and what it learns, with bad input."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from pipeline.cli.correct import correct
from pipeline.cli.vocab import vocab
from pipeline.errors import WitnessmarkError


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("WITNESSMARK_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def terms_file(folder: Path, text: str) -> str:
    path = folder / "terms.txt"
    path.write_text(text, encoding="utf-8")
    return str(path)


def run(args: list[str], text: str | bytes = "") -> Result:
    result = CliRunner().invoke(correct, args, input=text, standalone_mode=False)
    if result.exception is not None:
        raise result.exception
    return result


def test_one_line_in_one_line_out(tmp_path: Path) -> None:
    terms = terms_file(tmp_path, "woodruff key\n")
    text = "Now  the wood rough key,\t please.\n\n  nothing here \r\nlast wood rough key"
    result = run(["--terms", terms], text)
    assert result.stdout_bytes.decode() == text.replace("wood rough key", "woodruff key")
    lists = [json.loads(line) for line in run(["--terms", terms, "--json"], text).stdout.splitlines()]
    assert [[(c["start_word"], c["end_word"], c["written"]) for c in line] for line in lists] == [
        [(2, 5, "woodruff key,")],
        [],
        [],
        [(1, 4, "woodruff key")],
    ]
    assert {"heard", "score", "decision", "why", "rivals"} <= set(lists[0][0])


def test_bytes_that_are_not_utf8_come_back(tmp_path: Path) -> None:
    data = b"caf\xe9 \xff and\x00 more\n"
    assert run(["--terms", terms_file(tmp_path, "woodruff key\n")], data).stdout_bytes == data


def test_an_odd_term_list_is_reported_and_does_no_harm(tmp_path: Path) -> None:
    lines = ["woodruff key", "", "Woodruff Key", "гайка", "x" * 10_000, "12345", "# a remark", "set", "  "]
    result = run(["--terms", terms_file(tmp_path, "\n".join(lines))], "we set the sun rough, and a said is a set\n")
    assert result.return_value == 1
    assert result.stdout == "we set the sun rough, and a said is a set\n"
    for words in ("1 line is the same", "another alphabet", "10000 characters long", "without a letter"):
        assert words in result.stderr
    assert max(map(len, result.stderr.splitlines())) < 200


def test_a_list_of_100_000_lines(tmp_path: Path) -> None:
    terms = terms_file(tmp_path, "woodruff key\n" * 100_000)
    assert run(["--terms", terms], "the wood rough key\n").stdout == "the woodruff key\n"


@pytest.mark.parametrize("text", ["", "\n\n", "гайка\n"])
def test_a_list_without_a_term_is_an_error(tmp_path: Path, text: str) -> None:
    with pytest.raises(WitnessmarkError, match="holds no term"):
        run(["--terms", terms_file(tmp_path, text)], "hello\n")


def test_a_missing_list_and_an_unknown_pack_are_errors(tmp_path: Path) -> None:
    with pytest.raises(WitnessmarkError, match="cannot read term list"):
        run(["--terms", str(tmp_path / "none.txt")])
    with pytest.raises(WitnessmarkError, match=r"there are: .*motorcycle"):
        run(["--vocab", "spaceship"])


def vocab_run(*args: str) -> Result:
    result = CliRunner().invoke(vocab, list(args), standalone_mode=False)
    if result.exception is not None:
        raise result.exception
    return result


def test_learning_holds_from_then_on(tmp_path: Path, home: Path) -> None:
    terms = terms_file(tmp_path, "woodruff key\ngudgeon pin\n")
    heard = "the wood rough key and a gadget bin\n"
    assert run(["--terms", terms], heard).stdout == "the woodruff key and a gadget bin\n"
    vocab_run("learn", "reject", "Wood rough key,", "woodruff key")
    vocab_run("learn", "accept", "gadget bin", "gudgeon pin")
    assert run(["--terms", terms], heard).stdout == "the wood rough key and a gudgeon pin\n"
    vocab_run("learn", "accept", "wood rough key", "woodruff key")
    assert run(["--terms", terms], heard).stdout == "the woodruff key and a gudgeon pin\n"
    assert sorted(path.name for path in home.iterdir()) == ["decisions.toml"]


def test_own_terms_and_imports(tmp_path: Path) -> None:
    vocab_run("add", "penhallow sprag", "--kind", "part")
    csv = tmp_path / "parts.csv"
    csv.write_text("Ref;Description;Qty\n1;BOLT, ZONKLE M8;2\n2;Frobnication shim (std);1\n", encoding="utf-8")
    assert "2 new terms" in vocab_run("import", str(csv)).output
    mine = vocab_run("list", "mine").output.splitlines()
    assert mine == ["Frobnication shim", "penhallow sprag", "zonkle bolt"]
    with pytest.raises(WitnessmarkError, match="no assembly called"):
        vocab_run("add", "thing", "--part-of", "nowhere")


def test_check_reports_every_fault_at_once(tmp_path: Path) -> None:
    pack = tmp_path / "mine.toml"
    pack.write_text(
        '[terms]\n"split  pin" = {}\n"a b c d e f" = {}\n"cotter" = { also = ["cotter pin"] }\n"cotter pin" = {}\n'
    )
    result = vocab_run("check", str(pack))
    assert result.return_value == 1
    assert len(result.output.splitlines()) == 3


def test_explain_says_why() -> None:
    assert "woodruff key" in vocab_run("explain", "the wood rough key").output
    assert "nothing here" in vocab_run("explain", "we had a nice day").output
