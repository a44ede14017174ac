"""The speaker's own verb where it says more than the class it belongs to: "skimmed" rather than "machined"."""

from __future__ import annotations

import re

from pipeline.records import Event

# action -> the verb as the log's `why` has it -> (what was done, what is to do)
OWN_VERBS = {
    "adjust": {
        "balance": ("Balanced", "balance"),
        "gap": ("Gapped", "gap"),
        "set": ("Set", "set"),
        "shim": ("Shimmed", "shim"),
        "tension": ("Tensioned", "tension"),
        "wound": ("Wound", "wind"),
    },
    "cut": {"trim": ("Trimmed", "trim")},
    "drain": {"let out": ("Let out", "let out")},
    "machine": {
        "bore": ("Bored", "bore"),
        "dress": ("Dressed", "dress"),
        "grind": ("Ground", "grind"),
        "hone": ("Honed", "hone"),
        "hone out": ("Honed", "hone"),
        "lap": ("Lapped", "lap"),
        "lap in": ("Lapped in", "lap in"),
        "made": ("Made", "make"),
        "make": ("Made", "make"),
        "make new": ("Made", "make"),
        "ream": ("Reamed", "ream"),
        "rebore": ("Rebored", "rebore"),
        "regrind": ("Reground", "regrind"),
        "scrape": ("Scraped", "scrape"),
        "scrape in": ("Scraped in", "scrape in"),
        "skim": ("Skimmed", "skim"),
        "stone": ("Stoned", "stone"),
        "turn": ("Turned", "turn"),
        "turn up": ("Turned", "turn"),
    },
    "repair": {
        "solder": ("Soldered", "solder"),
        "soldered": ("Soldered", "solder"),
        "straighten": ("Straightened", "straighten"),
    },
    "test": {
        "crack test": ("Crack tested", "crack test"),
        "pressure test": ("Pressure tested", "pressure test"),
    },
}

# What is filled with air.
_BLOWN_UP = frozenset(("tyre", "tire", "tyres", "tires", "tube", "tubes", "wheel", "wheels"))
# How `why` names the verb: as a rule knows it, or as the network read it.
_MEANS = re.compile(r"^“([^”]+)” means |^the words around “([^”]+)” were read as ")


def own_verb(event: Event) -> tuple[str, str] | None:
    """(What was done, what is to do) in the speaker's verb, None where the class says as much."""
    if event.action == "fill" and not event.fluid and _BLOWN_UP.intersection(event.part.lower().split()[-1:]):
        return "Inflated", "inflate"
    match = _MEANS.match(event.why)
    return OWN_VERBS.get(event.action, {}).get((match[1] or match[2]).lower()) if match else None
