"""`witnessmark score`: what correction does to heard text, the harm first."""

from __future__ import annotations

import json
from pathlib import Path

import click

from pipeline.cli.correct import matcher_for, show_findings
from pipeline.correct import correct
from pipeline.correct.text import correct_lines
from pipeline.errors import WitnessmarkError
from pipeline.records import Correction, Word
from pipeline.score import report, score_fields, score_lines
from pipeline.tokens import line_words


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise WitnessmarkError(
            f"cannot read {path}: {getattr(error, 'strerror', None) or error}; give a UTF-8 text file"
        ) from error


def read_heard(path: Path) -> list[list[Word]]:
    """Heard words line by line: plain text, or a JSON transcript or log (its `words` are one line)."""
    text = _text(path)
    if path.suffix != ".json":
        return [list(line_words(line)) for line in text.splitlines()]
    try:
        words = json.loads(text)["words"]
        return [[Word(w["text"], w["start_ms"], w["end_ms"], w.get("probability", 1.0)) for w in words]]
    except (ValueError, KeyError, TypeError) as error:
        raise WitnessmarkError(
            f"{path} is no transcript: it has no list called words; give a log.json or text"
        ) from error


@click.command()
@click.argument("reference", type=click.Path(path_type=Path))
@click.argument("heard", type=click.Path(path_type=Path))
@click.option("--terms", "terms", type=click.Path(path_type=Path), multiple=True, help="File with one term a line.")
@click.option("--vocab", "packs", multiple=True, metavar="PACKS", help="Shipped packs by name, with commas; or all.")
@click.option("--json", "as_json", is_flag=True, help="Print counts and figures as JSON.")
def score(reference: Path, heard: Path, terms: tuple[Path, ...], packs: tuple[str, ...], as_json: bool) -> int:
    """Correct HEARD and measure it against REFERENCE, what was really said.

    Both are text with as many lines, or HEARD is a transcript in JSON (then REFERENCE is taken as one line).
    The report starts with the harm: good words made wrong. Below it are the lines that are still wrong.
    """
    matcher, findings = matcher_for(terms, packs)
    show_findings(findings)
    said, lines = _text(reference).splitlines(), read_heard(heard)
    if len(said) != len(lines):
        said, lines = [" ".join(said)], [[word for line in lines for word in line]]
    corrections: list[list[Correction]]
    if heard.suffix == ".json":
        corrections = [correct(words, matcher) for words in lines]
    else:
        corrections = correct_lines([" ".join(word.text for word in words) for words in lines], matcher)
    total, each = score_lines(said, lines, corrections, matcher)
    click.echo(json.dumps(score_fields(total), indent=2) if as_json else report(total, each))
    return 0
