"""Which part, fluid or fastener a figure belongs to, on which side, and with which thread.

Every thing said near a figure is a candidate, and so is nothing; `owners.py` names what speaks for each, and the
weights of `pipeline/data/figure_weights.json` (fitted by `tools/fit_figures.py`) choose.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from pipeline.quantities.of_nothing import of_nothing
from pipeline.quantities.owner_corrected import put_right_owners
from pipeline.quantities.owner_told import second_of_two, told_owner
from pipeline.quantities.owners import Last, Span, Speech, candidates, evidence, nothing, pointed_places, read_speech
from pipeline.quantities.places import PLACES, in_its_place, place_of, thread_of
from pipeline.quantities.read_kinds import KindReader
from pipeline.quantities.read_owners import read_evidence
from pipeline.quantities.read_things import with_read_things
from pipeline.quantities.roles import role_of
from pipeline.quantities.second_look import fits_owner, unit_is_said
from pipeline.quantities.things import Thing, find_things
from pipeline.quantities.weights import heaviest
from pipeline.reader import Reading, load_reader
from pipeline.records import Quantity, Token
from pipeline.vocabulary import Vocabulary

# What is counted stands so near behind its number.
_COUNTED_WITHIN = 6


def attach_quantities(
    quantities: Sequence[Quantity], tokens: Sequence[Token], vocabulary: Vocabulary, reader: KindReader | None = None
) -> list[Quantity]:
    """The quantities with `subject`, `side`, `position`, and for torques and spanners the `thread` said with them.

    One whose unit nobody said and whose owner can have no such figure is left out; the others are numbered anew.
    A subject is the vocabulary's British name of a term, or a noun as said. "" where nothing fits. `reader` tells what
    a figure may belong to: the shipped network where none is given.
    """
    if not quantities:
        return []
    spans = read_spans(quantities, tokens)
    speech, things = read_things(spans, tokens, vocabulary)
    reading = (reader or load_reader()).read([token.text for token in tokens])
    things = with_read_things(spans, things, speech, reading, vocabulary)
    owners: list[Thing | None] = []
    owned: list[tuple[Span, Thing | None]] = []
    for span in spans:
        if span.qty.kind == "count":
            owners.append(_counted(span, things, speech))
            continue
        if of_nothing(span, speech):
            owners.append(None)
            owned.append((span, None))
            continue
        told = told_owner(span, things, speech, owned)
        last = owned[-1] if owned else None
        owner = told or choose_owner(span, candidates(span, things, speech), speech, last, reading)
        owners.append(owner and (second_of_two(owner, things, speech) or owner))
        owned.append((span, owners[-1]))
    attached: list[Quantity] = []
    said: list[bool] = []
    for place, (span, thing) in enumerate(zip(spans, put_right_owners(spans, owners, things, speech), strict=True)):
        said.append(unit_is_said(place, spans, said, speech))
        qty = fits_owner(
            replace(span.qty, unit_said=said[place]), thing, span, speech, attached[-1] if attached else None
        )
        if qty is None:
            continue
        side, position = place_of(span, spans, thing, speech.words, speech.sentence_of)
        name = in_its_place(thing.name, span, thing, side or position, speech.words) if thing else ""
        if thing and name != thing.name:
            side = position = ""  # told by the name
        qty = replace(
            qty, subject=name, side=side, position=position,
            role=role_of(place, spans, speech), subject_word=tokens[thing.end - 1].start_word if thing else None,
        )  # fmt: skip
        if qty.kind in ("torque", "spanner"):
            qty = replace(qty, thread=thread_of(span, spans, speech.sentence_of))
        attached.append(replace(qty, id=f"q{len(attached) + 1}"))
    return attached


def read_spans(quantities: Sequence[Quantity], tokens: Sequence[Token]) -> list[Span]:
    """The quantities over the indexes of their tokens."""
    starts = [token.start_word for token in tokens]
    return [Span(qty, bisect_left(starts, qty.start_word), bisect_left(starts, qty.end_word)) for qty in quantities]


def read_things(spans: Sequence[Span], tokens: Sequence[Token], vocabulary: Vocabulary) -> tuple[Speech, list[Thing]]:
    """The words around the figures, and the things said there that are more than a place."""
    speech = read_speech(tokens, spans)
    # A capital tells a full stop that somebody wrote from one that was guessed.
    ends = {
        place
        for place, (here, after) in enumerate(pairwise(speech.sentence_of))
        if here != after and tokens[place + 1].text[0].isupper()
    }
    things = find_things(speech.words, speech.parted, vocabulary, pointed_places(speech), ends)
    return speech, [thing for thing in things if not {*speech.words[thing.start : thing.end]} <= PLACES]


def owner_rows(
    span: Span, rivals: Sequence[Thing], speech: Speech, last: Last, reading: Reading | None
) -> list[list[str]]:
    """The evidence for a figure of nothing, and for each thing."""
    none, read = read_evidence(reading, span, rivals)
    each = [[*evidence(span, thing, rivals, speech, last), *more] for thing, more in zip(rivals, read, strict=True)]
    return [[*nothing(span, rivals, speech, last), *none], *each]


def choose_owner(
    span: Span, rivals: Sequence[Thing], speech: Speech, last: Last, reading: Reading | None
) -> Thing | None:
    """The candidate with the heaviest evidence; None where nothing weighs more."""
    return (None, *rivals)[heaviest(owner_rows(span, rivals, speech, last, reading), "owner")]


def _counted(span: Span, things: Sequence[Thing], speech: Speech) -> Thing | None:
    """What a number of things is of: the first part or fastener behind it."""
    sentence = speech.sentence_of[span.start]
    for thing in things:
        if span.end <= thing.start <= span.end + _COUNTED_WITHIN and thing.kind in ("fastener", "part"):
            return thing if speech.sentence_of[thing.start] == sentence else None
    return None
