"""Says in a mechanic's words why a correction was made, asked or left."""

from __future__ import annotations

from collections.abc import Mapping

_FITS_BETTER = 0.5
# Reading a term in its place says something where it makes its odds so many nats higher or lower.
_RAISED = 1.0


def explain(features: Mapping[str, float], decision: str, guard: str = "", ground: str = "") -> str:
    """One sentence from the features that weighed most.

    >>> explain({"sound": 0.9, "unknown": 1.0}, "auto")
    'sounds 90 % alike; what was heard has a word no dictionary has'
    """
    if ground == "decided":
        return "you have said that this is meant"
    if ground == "respaced":
        reasons = ["only the spacing differs"]
        return "; ".join([*reasons, f"not made without asking: {guard}"] if guard else reasons)
    reasons = [f"sounds {features.get('sound', 0.0):.0%} alike".replace("%", " %")]
    if features.get("met_before", 0.0) > 0:
        reasons.append("has been heard for it before")
    if features.get("unknown", 0.0) > 0:
        reasons.append("what was heard has a word no dictionary has")
    elif features.get("odd_inside", 0.0) > 0 or features.get("odd_outside", 0.0) > 0:
        reasons.append("the words heard do not belong together")
    elif features.get("rare", 0.0) > 0.2:
        reasons.append("what was heard is rare in everyday English")
    if features.get("shared", 0.0) >= 0.5:
        reasons.append("part of the term was heard as it is")
    if features.get("said_elsewhere", 0.0) > 0:
        reasons.append("the term is said elsewhere")
    if features.get("topic", 0.0) > 0:
        reasons.append("the same assembly is being talked about")
    if features.get("raised", 0.0) > _RAISED or features.get("fits_rather", 0.0) > _FITS_BETTER:
        reasons.append("it fits the words around it better")
    elif features.get("raised", 0.0) < -_RAISED and decision != "auto":
        reasons.append("the words around do not speak for it")
    if features.get("doubt", 0.0) > 0.5:
        reasons.append("the recogniser was unsure")
    if guard and decision != "auto":
        reasons.append(f"not made without asking: {guard}")
    return "; ".join(reasons)
