"""`witnessmark start`, `check` and `book`: the recordings of one machine as one build."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import get_args

import click

from pipeline.build import build_vocabulary, check_build, read_build, start_build, write_book
from pipeline.records import Settings, Spelling, UnitSystem
from pipeline.times import ms_to_clock

_FOLDER = click.argument("folder", metavar="FOLDER", type=click.Path(path_type=Path))


@click.command()
@_FOLDER
@click.option("--machine", required=True, metavar="NAME", help='What is being built: "Penhallow 175".')
@click.option(
    "--vocab",
    multiple=True,
    metavar="PACK[,PACK...]",
    help="Only these vocabulary packs (may be repeated); default: all of them.",
)
@click.option("--units", type=click.Choice(get_args(UnitSystem)), help="Whose pints, gallons and ounces are meant.")
@click.option(
    "--spelling",
    type=click.Choice(get_args(Spelling)),
    default="british",
    show_default=True,
    help="Spelling of what is written about the work.",
)
def start(folder: Path, machine: str, vocab: Sequence[str], units: UnitSystem | None, spelling: Spelling) -> None:
    """Make a build folder for one machine.

    \b
    witnessmark start penhallow --machine "Penhallow 175" --units imperial
    witnessmark run --build penhallow day1.mp4

    FOLDER gets a build.toml (the settings, to be edited with any text editor), recordings/ and vocab/ (for words
    of your own). A build that is there already is never overwritten.
    """  # fmt: skip
    packs = [name.strip() for names in vocab for name in names.split(",") if name.strip()]
    click.echo(start_build(folder, Settings(machine, tuple(dict.fromkeys(packs)), units, spelling)))


@click.command()
@_FOLDER
@click.option("--json", "as_json", is_flag=True, help="All lines as one JSON array.")
def check(folder: Path, as_json: bool) -> int:
    """Print what is still open on a machine, over all its recordings.

    \b
    witnessmark check penhallow

    One line for each open loose end and each finding, `recording m:ss: message`, in order of time; nothing, and
    exit status 0, where there is none. What you have looked at and settled goes into `settled` in build.toml.
    """  # fmt: skip
    build = read_build(folder)
    lines = check_build(build, build_vocabulary(folder))
    if as_json:
        found = [
            {
                "recording": line.recording,
                "at": ms_to_clock(line.start_ms),
                "start_ms": line.start_ms,
                "kind": line.kind,
                "level": line.level,
                "rule": line.rule,
                "message": line.message,
                "part": line.part,
                "said": line.said,
            }
            for line in lines
        ]
        click.echo(json.dumps(found, ensure_ascii=False, indent=1))
    else:
        for line in lines:
            click.echo(f"{line.place}: {line.message}")
    return 1 if lines else 0


@click.command()
@_FOLDER
@click.option("--into", metavar="DIR", type=click.Path(path_type=Path), help="Folder to write to; default: FOLDER.")
@click.option("--pdf", is_flag=True, help="Also book.pdf (needs: pip install 'witnessmark[pdf]').")
def book(folder: Path, into: Path | None, pdf: bool) -> int:
    """Write one build book over all recordings of a machine.

    \b
    witnessmark book penhallow
    witnessmark book penhallow --into handover --pdf

    Writes book.html, book.md, parts.csv and figures.csv. Every entry leads to its words and, where the recording
    lies in its place, to its sound. Exit status 1: something on it is still open (see `witnessmark check`).
    """  # fmt: skip
    build = read_build(folder)
    vocabulary = build_vocabulary(folder)
    for path in write_book(build, vocabulary, into or folder, pdf):
        click.echo(path)
    return 1 if check_build(build, vocabulary) else 0
