"""`witnessmark extract`: the figures and events of plain text, one line in, one JSON object out."""

from __future__ import annotations

import importlib
import importlib.util
import json
import sys
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any, get_args

import click

from pipeline.errors import WitnessmarkError
from pipeline.quantities import attach_quantities, customary, find_quantities, format_quantity
from pipeline.records import Quantity, Settings, Token, UnitSystem
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import Vocabulary, load_vocabulary


@click.command()
@click.argument("file", type=click.File("rb"), default="-")
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line: quantities and events.")
@click.option("--vocab", multiple=True, metavar="PACK", help="Only this vocabulary pack (may be repeated).")
@click.option("--units", type=click.Choice(get_args(UnitSystem)), help="Whose pints, gallons and ounces are meant.")
def extract(file: Any, as_json: bool, vocab: Sequence[str], units: UnitSystem | None) -> None:
    """Find the figures and the part events in FILE (default: standard input), line by line.

    \b
    echo "torque it to twenty five newton metres" | witnessmark extract
    witnessmark extract --json narration.txt

    Every line gives one line, in the same order; an empty line gives an empty one. What was said is shown as it
    was understood, never corrected: hold every figure against the maker's manual.
    """
    settings = Settings(packs=tuple(vocab), units=units)
    vocabulary = load_vocabulary(vocab)
    name = getattr(file, "name", "-")
    for number, raw in enumerate(file, 1):
        try:
            line = raw.decode("utf-8").rstrip("\r\n")
        except UnicodeDecodeError as error:
            raise WitnessmarkError(
                f"line {number} of {Path(name).name if name != '<stdin>' else 'standard input'} is not UTF-8; "
                "save the text as UTF-8 and try again"
            ) from error
        tokens = written_tokens(line_words(line))
        quantities = attach_quantities(find_quantities(tokens, settings), tokens, vocabulary)
        if as_json:
            events = _events(tokens, quantities, vocabulary)
            found = {"quantities": [asdict(qty) for qty in quantities], "events": events}
            click.echo(json.dumps(found, ensure_ascii=False))
        else:
            click.echo("; ".join(_shown(qty) for qty in quantities))
    sys.stdout.flush()


def _shown(qty: Quantity) -> str:
    amount = format_quantity(qty)
    others = ", ".join(customary(qty))
    subject = f" [{qty.subject}]" if qty.subject else ""
    return f"{qty.kind} {amount}{f' ({others})' if others else ''}{subject}"


def _events(tokens: Sequence[Token], quantities: Sequence[Quantity], vocabulary: Vocabulary) -> list[dict[str, Any]]:
    if importlib.util.find_spec("pipeline.events") is None:
        return []
    module = importlib.import_module("pipeline.events")
    find = getattr(module, "find_events", None)
    if find is None:
        return []
    return [asdict(event) for event in find(tokens, quantities, vocabulary)]
