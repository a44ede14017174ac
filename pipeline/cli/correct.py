"""`witnessmark correct`: a filter that puts garbled terms right, one line in, one line out."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator
from dataclasses import asdict
from itertools import islice
from pathlib import Path
from typing import Any

import click

from pipeline.correct import Matcher, build_matcher
from pipeline.correct.matcher import Decisions
from pipeline.correct.text import correct_lines, written_line
from pipeline.records import Correction, Finding
from pipeline.vocabulary import (
    UserWords,
    Vocabulary,
    load_vocabulary,
    read_terms,
    shipped_hearings,
)

_LINES_AT_ONCE = 200


def matcher_for(terms: Iterable[Path], packs: Iterable[str]) -> tuple[Matcher, list[Finding]]:
    """The matcher over term lists and packs (every pack where neither is named), and what is wrong with the lists."""
    names = [name.strip() for value in packs for name in value.split(",") if name.strip()]
    vocabulary = load_vocabulary([] if "all" in names else names) if names or not terms else Vocabulary((), {}, {})
    found = {term.name: term for term in vocabulary.terms}
    findings: list[Finding] = []
    for path in terms:
        extra, faults = read_terms(path)
        findings += faults
        for term in extra:
            found.setdefault(term.name, term)
    whole = Vocabulary(tuple(found.values()), vocabulary.assemblies, vocabulary.cautions)
    return build_matcher(whole, shipped_hearings(), Decisions.of(UserWords.load())), findings


def show_findings(findings: Iterable[Finding]) -> None:
    """Findings on stderr, one a line."""
    for finding in findings:
        click.echo(f"{finding.level}: {finding.message}", err=True)


def correction_fields(corr: Correction) -> dict[str, Any]:
    """One correction as JSON fields."""
    return {**asdict(corr), "rivals": list(corr.rivals)}


def _blocks(lines: Iterable[bytes]) -> Iterator[list[str]]:
    source = iter(lines)
    while block := [line.decode("utf-8", "surrogateescape") for line in islice(source, _LINES_AT_ONCE)]:
        yield block


@click.command()
@click.option("--terms", "terms", type=click.Path(path_type=Path), multiple=True, help="File with one term a line.")
@click.option("--vocab", "packs", multiple=True, metavar="PACKS", help="Shipped packs by name, with commas; or all.")
@click.option("--json", "as_json", is_flag=True, help="Print the corrections of each line as a JSON list instead.")
@click.argument("file", type=click.File("rb"), default="-")
def correct(terms: tuple[Path, ...], packs: tuple[str, ...], as_json: bool, file: Any) -> int:
    """Put garbled terms right: one line in, one line out.

    Reads FILE, or standard input. Without --terms and --vocab, every shipped pack is used. Text without a garble comes
    back byte for byte. Exit status 1: lines of a term list had to be left out.
    """
    matcher, findings = matcher_for(terms, packs)
    show_findings(findings)
    out = sys.stdout.buffer
    for block in _blocks(file):
        for line, corrections in zip(block, correct_lines(block, matcher), strict=True):
            if as_json:
                fields = [correction_fields(corr) for corr in corrections]
                text = json.dumps(fields, ensure_ascii=False) + "\n"
            else:
                text = written_line(line, corrections)
            out.write(text.encode("utf-8", "surrogateescape"))
        out.flush()
    return 1 if any(finding.level != "note" for finding in findings) else 0
