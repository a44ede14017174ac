"""README.md and the program say the same: each command and option that is written about is there, and the reverse."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from pipeline.cli.main import witnessmark

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
DOCUMENTS = [path for path in (README, ROOT / "DEVELOPERS.md", ROOT / "samples" / "README.md") if path.exists()]

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
    names = {
        name
        for param in command.params
        if isinstance(param, click.Option)
        for name in (*param.opts, *param.secondary_opts)
    }
    return {name for name in names if name.startswith("--")} | {"--help"}


def blocks(text: str) -> list[list[str]]:
    """The code of each paragraph, table row and line of a fenced block; a line that ends with a backslash goes on."""
    fenced = [line for block in _FENCED.findall(text) for line in block.replace("\\\n", " ").splitlines()]
    prose = re.split(r"\n\s*\n|\n(?=\|)", _FENCED.sub("\n\n", text))
    return [[line.strip()] for line in fenced] + [_SPAN.findall(" ".join(part.split())) for part in prose]


def calls(line: str) -> Iterator[tuple[str, str]]:
    """(command, its arguments) of each call of witnessmark in a line of code; "" for a command that is not there."""
    for call in re.findall(r"(?:^|[\s/|;&(])witnessmark\s+([^|;&#)]*)", line):
        words = call.split()
        two = " ".join(words[:2])
        name = two if two in COMMANDS else words[0] if words and words[0] in COMMANDS else ""
        yield name, call


def faults(text: str) -> list[str]:
    """What the text says of commands and options that is not so. An option alone is of the commands beside it."""
    found = []
    known = set().union(*(options(command) for command in COMMANDS.values())) | {"--version"}
    for code in blocks(text):
        named = [call for line in code for call in calls(line)]
        for name, call in named:
            if name:
                wrong = set(_OPTION.findall(call)) - options(COMMANDS[name])
                found += [f"{name} has no {option}: {call}" for option in sorted(wrong)]
            elif not call.startswith(("COMMAND", "--help", "--version", "-h")):
                found.append(f"there is no such command: {call}")
        if any(".py" in line for line in code):
            continue  # options of a tool of the project
        beside = set().union(*(options(COMMANDS[name]) for name, _ in named if name)) or known
        alone = {option for line in code if line.startswith("--") for option in _OPTION.findall(line)}
        found += [f"no command here has {option}" for option in sorted(alone - beside)]
    return found


def undocumented(text: str) -> list[str]:
    """Commands and options that the text does not speak of; an option counts where its command stands beside it."""
    told: dict[str, set[str]] = {}
    for code in blocks(text):
        alone = {option for line in code if line.startswith("--") for option in _OPTION.findall(line)}
        for line in code:
            for name, call in calls(line):
                told.setdefault(name, set()).update(_OPTION.findall(call), alone)
    found = []
    for name, command in COMMANDS.items():
        if name not in told and not isinstance(command, click.Group):
            found.append(f"witnessmark {name}")
        found += [
            f"witnessmark {name} {option}" for option in sorted(options(command) - told.get(name, set()) - {"--help"})
        ]
    return found


@pytest.fixture
def readme() -> str:
    """The text of README.md."""
    return README.read_text(encoding="utf-8")


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_what_is_documented_exists(path: Path) -> None:
    assert faults(path.read_text(encoding="utf-8")) == []


def test_what_exists_is_documented(readme: str) -> None:
    assert undocumented(readme) == []


def test_files_that_are_spoken_of_exist(readme: str) -> None:
    """Links of the text, and paths of this repository in its code."""
    links = [link for link in re.findall(r"\]\(([^)#\s]+)", readme) if "://" not in link]
    paths = [
        path
        for code in blocks(readme)
        for line in code
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
        ("with `--wings` it flies", "no command here has --wings"),
        ("| `witnessmark check FOLDER` | `--pdf` |", "no command here has --pdf"),
    ],
)
def test_the_test_sees_a_wrong_text(text: str, fault: str) -> None:
    (found,) = faults(text)
    assert fault in found


def test_the_test_sees_what_is_left_out() -> None:
    left_out = undocumented("`witnessmark book FOLDER`, with `--pdf`\n\n`--into DIR` elsewhere")
    assert "witnessmark start" in left_out and "witnessmark book --into" in left_out
    assert "witnessmark book" not in left_out and "witnessmark book --pdf" not in left_out
