"""Figures in the sentence of an entry: what was measured or done, and in brackets what is wanted, a limit or of old."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pipeline.render.figures import UNIT_NOT_SAID, Figure

# role -> the word for it in brackets
_ROLES = {"found": "found", "wanted": "wanted", "limit": "limit", "old": "old one"}
# What the figures of work that is still to be done are, and of work that is done.
_TO_DO, _DONE = ("", "wanted"), ("", "found")
_OPEN = ("planned", "negated", "advised")


def own_work(figures: Sequence[Figure], status: str) -> list[Figure]:
    """The figures that work was done to, or is to be: "at 1.2 bar, wants to be 2" is to become 2. Where no figure is
    plainly one, what is wanted."""
    for roles in (_TO_DO, ("found",)) if status in _OPEN else (_DONE, ("old",), ("wanted",)):
        if own := [figure for figure in figures if figure.qty.role in roles]:
            return own
    return []


def told_with_figures(text: str, word: str, figures: Sequence[Figure], status: str) -> str:
    """A sentence with its figures: "Measured springs at 41.2 mm (limit 39.5 mm)", "Torqued nut to 20 N·m, unit not
    said"."""
    own = own_work(figures, status)
    others = {figure.unmarked for figure in figures if figure not in own and figure.qty.role}
    if alone := [figure for figure in own if figure.unmarked not in others]:
        own = alone  # "the old one was sixty. Sixty."
    said = list(dict.fromkeys(figure.unmarked for figure in own))
    # "80 N·m and 30 N·m or 13 N·m" could be read two ways.
    joint = ", and " if any(" or " in figure for figure in said) else " and "
    if said:
        text = f"{text} {word} {joint.join(said)}"
    beside = dict.fromkeys(
        f"{_ROLES[figure.qty.role]} {figure.unmarked}" for figure in figures if figure not in own and figure.qty.role
    )
    if beside:
        text = f"{text} ({'; '.join(beside)})"
    mark = _mark(figures)
    return f"{text}, {mark}" if mark else text


def _mark(figures: Iterable[Figure]) -> str:
    """The mark of guessed units, with their figures where others have a unit that was said."""
    told = list(figures)
    guessed = list(dict.fromkeys(figure.unmarked for figure in told if figure.guessed))
    if not guessed:
        return ""
    return (
        UNIT_NOT_SAID
        if len(guessed) == len({figure.unmarked for figure in told})
        else (f"{UNIT_NOT_SAID} with {' and '.join(guessed)}")
    )
