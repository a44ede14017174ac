"""`witnessmark extract`: the figures and events of plain text, one line in, one JSON object out."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import IO, get_args

import click

from pipeline.errors import WitnessmarkError
from pipeline.events import find_events
from pipeline.punctuation import punctuated
from pipeline.quantities import attach_quantities, customary, find_quantities, format_quantity
from pipeline.records import Event, Quantity, Settings, UnitSystem
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import Vocabulary, load_vocabulary


@click.command()
@click.argument("file", type=click.File("rb"), default="-")
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line: quantities and events.")
@click.option("--vocab", multiple=True, metavar="PACKS", help="Only these vocabulary packs, by name, with commas.")
@click.option("--units", type=click.Choice(get_args(UnitSystem)), help="Whose pints, gallons and ounces are meant.")
def extract(file: IO[bytes], as_json: bool, vocab: Sequence[str], units: UnitSystem | None) -> None:
    """Find the figures and the part events in FILE (default: standard input), line by line.

    \b
    echo "torque it to twenty five newton metres" | witnessmark extract
    witnessmark extract --json narration.txt

    Every line gives one line, in the same order. A figure is shown as it was understood and never corrected: hold
    every one against the maker's manual.
    """
    packs = tuple(name.strip() for value in vocab for name in value.split(",") if name.strip())
    settings = Settings(packs=packs, units=units)
    vocabulary = load_vocabulary([] if "all" in packs else packs)
    for line in _lines(file):
        quantities, events = _found(line, settings, vocabulary)
        if as_json:
            found = {"quantities": [asdict(qty) for qty in quantities], "events": [asdict(event) for event in events]}
            click.echo(json.dumps(found, ensure_ascii=False))
        else:
            click.echo("; ".join([*map(_shown, quantities), *(f"{event.action} {event.part}" for event in events)]))


def _lines(file: IO[bytes]) -> Iterator[str]:
    for number, raw in enumerate(file, 1):
        try:
            yield raw.decode("utf-8-sig" if number == 1 else "utf-8").rstrip("\r\n")
        except UnicodeDecodeError as error:
            name = "standard input" if file.name in ("<stdin>", "-") else file.name
            raise WitnessmarkError(
                f"line {number} of {name} is not UTF-8; save the text as UTF-8 and try again"
            ) from error


def _found(line: str, settings: Settings, vocabulary: Vocabulary) -> tuple[list[Quantity], Sequence[Event]]:
    tokens = punctuated(written_tokens(line_words(line)), settings)
    quantities = attach_quantities(find_quantities(tokens, settings), tokens, vocabulary)
    return quantities, find_events(tokens, quantities, vocabulary, settings).events


def _shown(qty: Quantity) -> str:
    others = ", ".join(customary(qty))
    beside = f" ({others})" if others else ""
    subject = f" [{qty.subject}]" if qty.subject else ""
    return f"{qty.kind} {format_quantity(qty)}{beside}{subject}"
