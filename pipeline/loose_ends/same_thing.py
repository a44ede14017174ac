"""Whether the part that was left open and the part that was worked on are one thing, though they are called otherwise:
what holds a fluid, whose bolt a bolt is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from pipeline.events.rules import load_rules
from pipeline.loose_ends.signs import load_stuff
from pipeline.records import Event, LooseEnd

FASTENERS = frozenset(("bolt", "nut", "screw", "stud", "capscrew", "clip", "clamp"))
PLAIN = frozenset(("bolt", "nut", "screw"))
_FLUIDS = frozenset(("oil", "coolant", "fluid"))
_SAME_OIL = ("oil_of_engine", "oil_of_gearbox", "oil_of_final_drive", "oil_of_primary", "oil_of_gearcase")
_GEARED = frozenset(_SAME_OIL[1:3])
_COOLED = frozenset(("radiator", "system"))
_BRAKE_FLUID = frozenset(("dot", "brake"))
_BLED = frozenset(("brake", "clutch", "caliper", "system"))
# Words of a name that tell where, which sides and positions tell already.
_PLACES = frozenset(("front", "rear", "left", "right", "top", "bottom", "upper", "lower", "both", "other"))
_OF = frozenset(("on", "of", "in", "for", "at"))
# So many words before a bolt its part is named: "flywheel's on and the nut is torqued".
_BESIDE = 12
_SLACK = frozenset(("loose", "loosely", "hung", "hanging", "hand", "finger", "nipped", "pinched", "slack"))
_KITS = frozenset(("kit", "set"))
_KINDS_OF_KIT = frozenset(("repair", "rebuild", "service", "overhaul"))


def is_one_thing(
    end: LooseEnd, event: Event, name_of: Callable[[str], str], around: str = "", before: Sequence[Event] = ()
) -> bool:
    """True where an event is about the part of a loose end by another name.

    Args:
        end: what was left open.
        event: what was done later.
        name_of: the one name of a part that has several.
        around: the words around those that left it open; the end's own where they are not known.
        before: the events before this one in its recording, which tell whose bolt a plain bolt is.
    """
    ours, theirs = name_of(end.part).split(), name_of(event.part).split()
    if ours == ["system"] and {"brake", "fluid"} <= _words(end.said):
        ours = ["brake", "fluid"]
    if len(ours) == 1 and event.action == end.action and _names_job(ours[0], end.action):
        return True  # "the bleeding" that was to be done
    if end.action == "bleed" and event.action == "bleed":
        return bool({*ours} & {*theirs} & _BLED)
    if event.action in ("fill", "top_up"):
        said = end.part.lower().split()
        if ours == ["oil"] and _is_of_another_box(theirs, around):
            return False
        return _holds(ours, theirs, event, name_of, said) or _without(theirs) in (_without(ours), _without(said))
    if event.action == "bleed":
        return _is_bled(end, ours, theirs, event)
    if end.kind == "waiting":
        return _is_ordered(end, ours, theirs)
    if end.kind == "provisional":
        own = end.part.lower().split() in (event.part.lower().split()[:-1], theirs[:-1]) or theirs[:-1] == ours
        return own and theirs[-1] in FASTENERS and bool({*end.said.lower().split()} & _SLACK)
    if end.kind not in ("loose", "no_figure") and end.action not in ("tighten", "torque"):
        return False
    return _is_held(end, event, ours, theirs, around or end.said, before)


def _names_job(word: str, action: str) -> bool:
    """ "Bleeding", "alignment": a job that named no part."""
    rules = load_rules()
    hit = rules.verbs.at([word], 0) if word.endswith("ing") else None
    return rules.job_nouns.get(word) == action or (
        hit is not None and any(rules.plain.get(verb.lemma) == action for verb in hit[1])
    )


def _holds(ours: list[str], theirs: list[str], event: Event, name_of: Callable[[str], str], said: list[str]) -> bool:
    """The oil is the box it is in; no box is filled by filling another one. `said`: the part as it was called."""
    fluid = event.fluid.lower()
    if ours[-1] not in _FLUIDS:
        return _is_one_box(ours, theirs)
    # "gearbox oil" is a name of gear oil, but the gearbox is meant
    of, last = (said if said[-1] in _FLUIDS else ours)[:-1], theirs[-1]
    if _is_one_box(of, theirs) or _is_one_box(name_of(" ".join(of)).split(), theirs):
        return True
    named = bool(fluid) and " ".join(ours) in fluid
    if ours[-1] == "coolant":
        return named or (not fluid and last in _COOLED)
    if ours[-1] == "fluid":
        return named or (bool(_BRAKE_FLUID & {*fluid.split()}) and last in load_stuff("hydraulic"))
    if of and of[-1] in load_stuff("vessel") | load_stuff("oil") | load_stuff("own_oil"):
        return False
    if named:
        return True
    # "filled her up, took half a litre": what a gearbox takes is the oil that was drained
    return (not fluid or "oil" in fluid) and last in load_stuff("gear_oil" if of == ["gear"] else "oil")


def _is_of_another_box(theirs: list[str], around: str) -> bool:
    """ "The oil" is the engine's where no gearbox was talked of."""
    group = _group(theirs)
    return group in _GEARED and not load_stuff(group) & _words(around)


def _is_one_box(ours: list[str], theirs: list[str]) -> bool:
    """ "Primary" and "primary chaincase", "sump" and "engine", "leg" and "fork leg"."""
    if not ours or not theirs or theirs[-1] not in load_stuff("vessel") | load_stuff("oil"):
        return False
    if {*ours} <= {*theirs} or {*theirs} <= {*ours}:
        return ours[-1] == theirs[-1] or ours[-1] in theirs[:1] or theirs[-1] in ours[:1]
    group = _group(ours)
    if "".join(ours) == "".join(theirs):
        return True
    return bool(group) and group == _group(theirs) and not _named(ours) and not _named(theirs)


def _group(words: Sequence[str]) -> str:
    return next((name for name in _SAME_OIL if words and words[-1] in load_stuff(name)), "")


def _named(words: Sequence[str]) -> bool:
    """ "Rear axle", "primary chaincase": one of several that are called so."""
    return len({*words} - _PLACES) > 1


def _is_bled(end: LooseEnd, ours: list[str], theirs: list[str], event: Event) -> bool:
    """Brake fluid that was drained is back in once the brakes, all of them or those, are bled."""
    drained = end.kind == "not_closed" and end.action == "fill" and ours[-1:] == ["fluid"]
    if not drained or not _BLED & {*theirs}:
        return False
    whole = not event.position and not event.side
    return (whole or event.position == end.position) and (len(ours) < 2 or ours[0] in theirs or "system" in theirs)


def _is_ordered(end: LooseEnd, ours: list[str], theirs: list[str]) -> bool:
    """ "I've ordered a set of plugs" and the spark plugs; "an impeller kit" and the impeller."""
    if ours == ["plug"]:
        return theirs == ["spark", "plug"] and bool({"plugs", "pair", "set"} & {*end.said.lower().split()})
    if len(ours) < 2 or ours[-1] not in _KITS:
        return False
    what = [word for word in ours[:-1] if word not in _KINDS_OF_KIT]
    return what == theirs or (len(theirs) > 1 and ours[-len(theirs) :] == theirs)


def _is_held(
    end: LooseEnd, event: Event, ours: list[str], theirs: list[str], around: str, before: Sequence[Event]
) -> bool:
    """The bolts of a plate hold the plate, and "the nut" is the nut of what it was named with."""
    if theirs[-1] in FASTENERS and theirs[:-1] == ours:
        return True
    if ours[-1] != theirs[-1] or ours[-1] not in FASTENERS:
        # a longer name's end: "wheel spindle" for "rear wheel spindle", but no plain bolt
        shorter = len(theirs) < len(ours) and ours[-len(theirs) :] == theirs and theirs[-1] not in PLAIN
        return shorter and not is_elsewhere(replace(end, part=event.part), event, before, around)
    own, other = [w for w in ours[:-1] if w not in _PLACES], [w for w in theirs[:-1] if w not in _PLACES]
    if own and other:
        short, long = sorted((own, other), key=len)
        if is_elsewhere(end, event, before, around):
            return False
        return long[-len(short) :] == short and {*other} - {*own} <= _words(around)
    if other:
        return {*other} <= _words(around)
    if own:
        return ours[-1] not in PLAIN or {*own} <= _hosts(event, before)
    return not is_elsewhere(end, event, before, around)


def _hosts(event: Event, before: Sequence[Event]) -> set[str]:
    """The words of what a plain bolt belongs to: "the bolt on the tailstock clamp", "caliper's on and both bolts"."""
    said = [_bare(word) for word in event.said.lower().split()]
    at = next((spot for spot, word in enumerate(said) if word in _OF), len(said))
    host = _host(event, before)
    return {*said[at:], *(host.part.lower().split() if host else ())}


def _host(event: Event, before: Sequence[Event]) -> Event | None:
    """What was worked on right before a bolt and is none itself."""
    for other in reversed(before):
        if event.start_word - other.end_word > _BESIDE:
            return None
        if other.status in ("done", "past") and other.part.lower().split()[-1] not in FASTENERS:
            return other
    return None


def is_elsewhere(end: LooseEnd, event: Event, before: Sequence[Event], around: str) -> bool:
    """True where a bolt whose name does not tell what it holds is told with another part than the one left open."""
    *of, last = end.part.lower().split()
    if last not in FASTENERS | {"plug"} or not {*of} <= load_stuff("kind_of_fastener"):
        return False
    if of and (event.position or event.side):
        return False  # "front spindle nut" tells itself which it is
    host = _host(event, before)
    return host is not None and not {host.part.lower().split()[-1]} & _words(around)


def is_named_in(part: str, around: str) -> bool:
    """True where the words that left something open name a part."""
    return {*part.lower().split()} - _PLACES <= _words(around)


def _words(said: str) -> set[str]:
    return {_bare(word) for word in said.lower().split()}


def _bare(word: str) -> str:
    """ "flywheel's" -> "flywheel", "bolts," -> "bolt"."""
    word = word.strip('.,;:!?"“”()').removesuffix("'s").removesuffix("’s")
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def _without(words: list[str]) -> list[str]:
    return words[:-1] if len(words) > 1 and words[-1] in _FLUIDS else words


def overlap(end: LooseEnd, other: LooseEnd | Event) -> bool:
    """Whether the two are told in some of the same words."""
    return other.start_word < end.end_word and end.start_word < other.end_word
