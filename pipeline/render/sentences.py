"""Sentences that a mechanic would write on the job card: "Fitted new gudgeon pin circlips (2)"."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass

from pipeline.records import BuildLog, Event, LooseEnd, PartMention
from pipeline.render.figures import UNIT_NOT_SAID, Figure
from pipeline.render.own_verbs import own_verb
from pipeline.render.spelling import Names, in_spelling
from pipeline.render.told_figures import own_work, told_with_figures


@dataclass(frozen=True, slots=True)
class StatusWords:
    """`label` stands on the badge and before the sentence; `past` says which form of the verb fits."""

    label: str
    past: bool
    meaning: str


STATUSES = {
    "done": StatusWords("Done", True, "said to be done in this recording"),
    "provisional": StatusWords("For now", True, "done, but it must come off or be finished again"),
    "planned": StatusWords("To do", False, "still to be done when this was said"),
    "negated": StatusWords("Not done", False, "said not to have been done"),
    "advised": StatusWords("Advice", False, "told to the viewer, not work on this machine"),
    "past": StatusWords("Earlier", True, "done on another occasion"),
}

# action -> (what was done, what is to do)
ACTIONS = {
    "adjust": ("Adjusted", "adjust"),
    "align": ("Aligned", "align"),
    "assemble": ("Assembled", "assemble"),
    "bleed": ("Bled", "bleed"),
    "clean": ("Cleaned", "clean"),
    "coat": ("Coated", "coat"),
    "connect": ("Connected", "connect"),
    "cut": ("Cut", "cut"),
    "disconnect": ("Disconnected", "disconnect"),
    "dismantle": ("Dismantled", "dismantle"),
    "drain": ("Drained", "drain"),
    "drill": ("Drilled", "drill"),
    "fill": ("Filled", "fill"),
    "fit": ("Fitted", "fit"),
    "inspect": ("Inspected", "inspect"),
    "lubricate": ("Lubricated", "lubricate"),
    "machine": ("Machined", "machine"),
    "mark": ("Marked", "mark"),
    "measure": ("Measured", "measure"),
    "polish": ("Polished", "polish"),
    "remove": ("Removed", "remove"),
    "renew": ("Renewed", "renew"),
    "repair": ("Repaired", "repair"),
    "route": ("Routed", "route"),
    "seal": ("Sealed", "seal"),
    "slacken": ("Slackened", "slacken"),
    "test": ("Tested", "test"),
    "tighten": ("Tightened", "tighten"),
    "top_up": ("Topped up", "top up"),
    "torque": ("Torqued", "torque"),
    "weld": ("Welded", "weld"),
}

# The kinds of figure that belong in the sentence of an action, and the word before them. Others stand below it.
_FIGURE_WORDS: dict[str, tuple[str, tuple[str, ...]]] = {
    "torque": ("to", ("torque", "angle")),
    "tighten": ("to", ("torque", "angle")),
    "slacken": ("by", ("angle",)),
    "adjust": ("to", ("clearance", "length", "pressure", "voltage", "speed", "torque", "temperature")),
    "measure": (
        "at",
        ("clearance", "length", "pressure", "voltage", "current", "resistance", "speed", "mass", "angle"),
    ),
    "fill": ("to", ("pressure",)),
    "test": ("at", ("pressure", "voltage", "current", "resistance", "speed")),
}
_FLUID_ACTIONS = ("fill", "top_up", "lubricate", "coat", "clean", "seal", "bleed", "polish", "assemble", "fit")

LOOSE_ENDS = {
    "provisional": "Only for now, must come off or be finished again",
    "loose": "Not tight or not secured yet",
    "promised": "Promised for later",
    "one_side_only": "Done on one side only",
    "not_closed": "Open or empty: not yet closed or filled again",
    "no_figure": "Tightened without a figure where one matters",
    "waiting": "Waiting for a part or a person",
}

# Kinds of loose end whose action is still to be done; the others are about what was done already.
_OPEN_WORK = ("loose", "promised", "one_side_only", "not_closed", "waiting")


def sentence(event: Event, figures: Mapping[str, Figure], names: Names) -> str:
    """What was done, without the status: "Torqued cylinder head nuts (4) to 22 N·m", "fit split pin"."""
    past, imperative = own_verb(event) or ACTIONS.get(event.action, (event.action.replace("_", " "),) * 2)
    verb = in_spelling(past if STATUSES[event.status].past else imperative, names.spelling)
    own = [figures[key] for key in event.quantities if key in figures]
    if event.action == "renew" and event.condition == "new":  # what is renewed is new
        event = dataclasses.replace(event, condition="")
    if event.action == "coat" and event.finish:
        return _coated(verb, event, names)
    if event.action == "drain":
        return _drained(verb, event, own, names)
    text = f"{verb} {thing(event, names)}".rstrip()
    if event.found:
        return f"{text}: {event.found}"
    if event.action == "fill" and not event.fluid and event.part in names.fluids:
        return f"{verb} with {_amount(own)}{thing(event, names)}"
    fluid = names.name(event.fluid)
    if fluid and fluid != names.name(event.part) and event.action in _FLUID_ACTIONS:
        return f"{text} with {_amount(own)}{fluid}"
    if event.action in _FLUID_ACTIONS and _amount(own):
        return f"{text} with {_amount(own).removesuffix(' of ')}"
    word, kinds = _FIGURE_WORDS.get(event.action, ("", ()))
    fitting = [figure for figure in own if figure.qty.kind in kinds]
    return told_with_figures(text, word, _of_the_part(fitting, event, names), event.status)


def _of_the_part(figures: list[Figure], event: Event, names: Names) -> list[Figure]:
    """Without the figures of something else, where some are of the part: "plug's twenty five, points are fifteen"."""
    part = names.terms.get(event.part, event.part)
    its = [figure for figure in figures if names.terms.get(figure.qty.subject, figure.qty.subject) in (part, "")]
    return its if any(figure.qty.subject for figure in its) else figures


def _coated(verb: str, event: Event, names: Names) -> str:
    """ "Painted side panel gloss black": the word for the coating is the better verb; else the finish follows."""
    part = thing(dataclasses.replace(event, finish=""), names)
    words = in_spelling(event.finish, names.spelling).split()
    last = max((place for place, word in enumerate(words, start=1) if word.endswith("ed")), default=0)
    if not last or not STATUSES[event.status].past:
        return f"{verb} {part}: {' '.join(words)}"
    coating = " ".join(words[:last])
    return " ".join([coating[0].upper() + coating[1:], part, *words[last:]])


def _drained(verb: str, event: Event, own: list[Figure], names: Names) -> str:
    fluid, part = names.name(event.fluid), thing(event, names)
    if not fluid and event.part not in names.fluids:
        return f"{verb} {part} of {_amount(own)}".removesuffix(" of ")
    if not fluid or fluid in part:
        return f"{verb} {_amount(own)}{part}"
    return f"{verb} {_amount(own)}{fluid} from {part}" if part else f"{verb} {_amount(own)}{fluid}"


def _amount(own: list[Figure]) -> str:
    volumes = [
        f"{figure.unmarked} ({UNIT_NOT_SAID})" if figure.guessed else figure.unmarked
        for figure in own_work(own, "done")
        if figure.qty.kind in ("volume", "mass")
    ]
    # "takes 650, I've put 600 in": which of them went in is for a person to see, unless the words tell it
    return f"{volumes[0]} of " if len(volumes) == 1 else ""


def full_sentence(event: Event, body: str) -> str:
    """The sentence with its status in front, for outputs without badges: "To do: fit split pin"."""
    if event.status == "done":
        return body
    first = body[:1].lower() + body[1:] if STATUSES[event.status].past else body
    return f"{STATUSES[event.status].label}: {first}"


def thing(item: Event | PartMention | LooseEnd, names: Names) -> str:
    """The part with what was said about it: "new zinc-plated front left brake shoes (2)"."""
    count = getattr(item, "count", None)
    name = names.name(item.part, count if count is not None else names.said_number(item.part, item.said))
    before: list[str] = []
    after: list[str] = []
    if name.startswith("both "):  # "both new wipers"
        before, name = ["both"], name.removeprefix("both ")
    side = "both sides" if item.side == "both" else item.side
    # "the back pivots" are not the rear back pivots
    position = "" if name.lower().split()[:1] == ["back"] and item.position == "rear" else item.position
    for word in (getattr(item, "condition", ""), getattr(item, "finish", ""), position, side):
        told = in_spelling(word, names.spelling)
        if told and not set(told.lower().split()) <= set(name.lower().split()):
            (before if " " not in told else after).append(told)
    text = " ".join([*before, name]).strip()
    if count is not None and count > 1:
        text += f" ({count})"
    return ", ".join([text, *after])


def loose_end_title(loose: LooseEnd, log: BuildLog, names: Names) -> str:
    """What is still to do to which part: "Fill right fork leg"; the words said where no part was named."""
    what = thing(loose, names) or loose.said.rstrip(".,;: ") or log.recording.name
    if loose.action == "fill" and loose.part in names.fluids:
        what = f"with {what}"
    if loose.action in ACTIONS and loose.kind in _OPEN_WORK and loose.part:
        what = f"{in_spelling(ACTIONS[loose.action][1], names.spelling)} {what}"
    return what[:1].upper() + what[1:]
