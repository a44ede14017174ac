"""README.md and the program say the same: each command and option that is written about is there, and the reverse."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from pipeline.cli.main import witnessmark

README = Path(__file__).parents[1] / "README.md"

# Code as Markdown writes it: fenced blocks, and spans between backquotes.
_FENCED = re.compile(r"^```\w*\n(.*?)^```", re.M | re.S)
_SPAN = re.compile(r"`([^`\n]+)`")
_OPTION = re.compile(r"(?<![\w-])(--[a-z][a-z-]*)")


def every_command() -> dict[str, click.Command]:
    """Commands by the words that call them: "run", "vocab add"."""
    found: dict[str, click.Command] = {}

    def walk(command: click.Command, words: tuple[str, ...]) -> None:
        if words:
            found[" ".join(words)] = command
        if isinstance(command, click.Group):
            context = click.Context(command)
            for name in command.list_commands(context):
                child = command.get_command(context, name)
                assert child is not None, f"{name} is listed and not there"
                walk(child, (*words, name))

    walk(witnessmark, ())
    return found


COMMANDS = every_command()


def options(command: click.Command) -> set[str]:
    """Its long options."""
    names = {name for param in command.params if isinstance(param, click.Option) for name in param.opts}
    return {name for name in names if name.startswith("--")} | {"--help"}


def code_lines(text: str) -> list[str]:
    """Lines of code in a Markdown text; a line that ends with a backslash goes on."""
    blocks = _FENCED.findall(text)
    spans = _SPAN.findall(_FENCED.sub("", text))
    lines = [line for block in blocks for line in block.replace("\\\n", " ").splitlines()]
    return [line.strip() for line in (*lines, *spans)]


def calls(line: str) -> Iterator[tuple[str, str]]:
    """(command, its arguments) of each call of witnessmark in a line of code; "" for a command that is not there."""
    for call in re.findall(r"(?:^|[\s/|;&(])witnessmark\s+([^|;&#)]*)", line):
        words = call.split()
        two = " ".join(words[:2])
        name = two if two in COMMANDS else words[0] if words and words[0] in COMMANDS else ""
        yield name, call


def faults(text: str) -> list[str]:
    """What the text says of commands and options that is not so."""
    found = []
    known = set().union(*(options(command) for command in COMMANDS.values()))
    for line in code_lines(text):
        for name, call in calls(line):
            if name:
                wrong = set(_OPTION.findall(call)) - options(COMMANDS[name])
                found += [f"{name} has no {option}: {line}" for option in sorted(wrong)]
            elif not call.startswith(("COMMAND", "--help", "--version", "-h")):
                found.append(f"there is no such command: {line}")
        if re.fullmatch(r"--[a-z][a-z-]*(?:[ =].*)?", line):
            option = _OPTION.findall(line)[0]
            found += [] if option in known | {"--version"} else [f"no command has {option}"]
    return found


def undocumented(text: str) -> list[str]:
    """Commands and options that the text does not speak of."""
    lines = code_lines(text)
    called = {name: " ".join(call for line in lines for n, call in calls(line) if n == name) for name in COMMANDS}
    alone = {option for line in lines if line.startswith("--") for option in _OPTION.findall(line)}
    found = [
        f"witnessmark {name}"
        for name, call in called.items()
        if not call and not isinstance(COMMANDS[name], click.Group)
    ]
    for name, command in COMMANDS.items():
        missing = options(command) - set(_OPTION.findall(called[name])) - alone - {"--help"}
        found += [f"witnessmark {name} {option}" for option in sorted(missing)]
    return found


@pytest.fixture
def readme() -> str:
    """README.md, once its section on the commands is written."""
    text = README.read_text(encoding="utf-8")
    section = text.partition("\n## Commands\n")[2].partition("\n## ")[0]
    if len(list(_FENCED.finditer(section))) + section.count("\n|") == 0:
        pytest.skip("the section Commands of README.md is not written yet")
    return text


def test_what_is_documented_exists() -> None:
    assert faults(README.read_text(encoding="utf-8")) == []


def test_what_exists_is_documented(readme: str) -> None:
    assert undocumented(readme) == []


def test_files_that_are_spoken_of_exist(readme: str) -> None:
    """Links of the text, and paths of this repository in its code."""
    links = [link for link in re.findall(r"\]\(([^)#\s]+)", readme) if "://" not in link]
    paths = [
        path
        for line in code_lines(readme)
        for path in re.findall(r"(?:samples|pipeline|vocab|templates|tests)/[\w./-]+", line)
    ]
    missing = [path for path in links + paths if not (README.parent / path.rstrip(".")).exists()]
    assert missing == []


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("`witnessmark fly`", "no such command"),
        ("`witnessmark book --wings`", "book has no --wings"),
        ("```sh\n.venv/bin/witnessmark start x --machine y --wings\n```", "start has no --wings"),
        ("```sh\nwitnessmark check x | witnessmark fly\n```", "no such command"),
        ("with `--wings` it flies", "no command has --wings"),
    ],
)
def test_the_test_sees_a_wrong_text(text: str, fault: str) -> None:
    (found,) = faults(text)
    assert fault in found


def test_the_test_sees_what_is_left_out() -> None:
    left_out = undocumented("`witnessmark book FOLDER`, with `--pdf`")
    assert "witnessmark start" in left_out and "witnessmark book --into" in left_out
    assert "witnessmark book" not in left_out and "witnessmark book --pdf" not in left_out
