"""From features to odds: a first look at every pair by itself, then two more at what it competes with.

The first look is linear. The second is a small network (one hidden layer) over the features, the first odds, the best
rival over the same words, and how likely the same term is elsewhere in the recording: people repeat their terms. The
third (`third_look`) has all that too and reads the words around; the second and the third weigh the same.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from pipeline.correct.features import FEATURES, Pairs
from pipeline.correct.matcher import Matcher
from pipeline.correct.number import SIGNS
from pipeline.correct.strip import Floats, Ints
from pipeline.correct.third_look import ThirdLook
from pipeline.correct.windows import LONGEST, Heard

_DATA = Path(__file__).resolve().parent.parent / "data"

CONTEXT = ("first", "rival", "repeated")
"""What the second look has besides `FEATURES`."""

WORTH_A_SECOND_LOOK = -7.5
# What is not worth a third look has so much less than the second gives it, as those that are have on the whole.
_UNREAD = 1.0
_FAR = -12.0


@dataclass(frozen=True)
class Network:
    """One hidden layer of rectified units. `mean`, `scale`: of the inputs, shape (inputs,)."""

    mean: Floats
    scale: Floats
    hidden: Floats
    hidden_bias: Floats
    output: Floats
    output_bias: Floats

    def log_odds(self, inputs: Floats) -> Floats:
        """Log odds for each row of inputs; shape (rows,)."""
        layer = np.maximum(0.0, ((inputs - self.mean) / self.scale) @ self.hidden + self.hidden_bias)
        found: Floats = layer @ self.output + self.output_bias[0]
        return found


@dataclass(frozen=True)
class Weights:
    """All looks, and the probabilities from which a pair is made, asked or noted.

    `linear`: shape (features,). `number`: weights of the signs for many against one, shape (signs,). `number_auto`:
    how sure one or many must be for a pair to be made.
    """

    linear: Floats
    network: Network
    reader: ThirdLook
    number: Floats
    auto: float
    number_auto: float
    ask: float
    keep: float

    def log_odds(self, heard: Heard, pairs: Pairs, matcher: Matcher) -> tuple[Floats, Floats]:
        """Log odds of each pair against "nothing is wrong here", and by how much reading has raised them; both of shape
        (pairs,)."""
        odds = np.asarray(pairs.table @ self.linear, dtype=np.float64)
        raised = np.zeros(len(odds))
        chosen = np.flatnonzero(odds >= WORTH_A_SECOND_LOOK)
        if len(chosen):
            term = matcher.form_term[pairs.form[chosen]]
            inputs = second_inputs(pairs, term, odds[chosen], chosen)
            second = self.network.log_odds(inputs)
            forms = [matcher.forms[form].text for form in pairs.form[chosen].tolist()]
            start, end = pairs.start[chosen], pairs.end[chosen]
            third = self.reader.log_odds(heard, start, end, forms, inputs, odds[chosen], second)
            raised[chosen] = np.where(np.isnan(third), -_UNREAD, (third - second) / 2)
            odds[chosen] = second + raised[chosen]
        return odds, raised

    def many(self, signs: Floats) -> Floats:
        """Probability that many were said, for each row of signs."""
        found: Floats = 1.0 / (1.0 + np.exp(-np.clip(signs @ self.number, -30.0, 30.0)))
        return found


@cache
def shipped_weights() -> Weights:
    """What `tools/fit_correction.py` has fitted."""
    data = tomllib.loads((_DATA / "correction_weights.toml").read_text(encoding="utf-8"))
    linear = np.array([data["weights"].get(name, 0.0) for name in FEATURES])
    with np.load(_DATA / "correction_network.npz") as packed:
        network = Network(**{name: packed[name].astype(np.float64) for name in packed.files})
    number = np.array([data["number"].get(name, 0.0) for name in SIGNS])
    decision = data["decision"]
    return Weights(
        linear,
        network,
        ThirdLook(_DATA / "third_look.onnx"),
        number,
        decision["auto"],
        decision["number_auto"],
        decision["ask"],
        decision["keep"],
    )


def second_inputs(pairs: Pairs, term: Ints, first: Floats, chosen: Ints) -> Floats:
    """Inputs of the network for the `chosen` pairs of `term` with first odds; shape (chosen, features + context)."""
    start, end, wording = pairs.start[chosen], pairs.end[chosen], pairs.wording[chosen]
    context = [first, _best_rival(start, end, term, first), _repeated(start, end, term, wording, first)]
    return np.column_stack([pairs.table[chosen], *context])


def _best_rival(start: Ints, end: Ints, term: Ints, first: Floats) -> Floats:
    """The highest first odds of another term over any of the same words."""
    steps = np.arange(LONGEST)
    pair, step = np.nonzero(start[:, None] + steps < end[:, None])
    place, value, owner = start[pair] + step, first[pair], term[pair]
    order = np.lexsort((-value, place))
    place, value, owner = place[order], value[order], owner[order]
    count = int(end.max(initial=0))
    best, best_term, second = np.full(count, _FAR), np.full(count, -1), np.full(count, _FAR)
    tops = np.flatnonzero(np.diff(place, prepend=-1))
    best[place[tops]], best_term[place[tops]] = value[tops], owner[tops]
    others = np.flatnonzero(owner != best_term[place])
    others = others[np.flatnonzero(np.diff(place[others], prepend=-1))]
    second[place[others]] = value[others]
    found = np.full(len(start), _FAR)
    for each in range(LONGEST):
        spot = np.minimum(start + each, end - 1)
        found = np.maximum(found, np.where(best_term[spot] == term, second[spot], best[spot]))
    return found


def _repeated(start: Ints, end: Ints, term: Ints, wording: Ints, first: Floats) -> Floats:
    """How often the term is expected elsewhere, in other words, by the first odds; damped.

    The same words again are no news: whatever is made of them is made of them everywhere.
    """
    order = np.lexsort((start, term))
    start, end, term, wording = start[order], end[order], term[order], wording[order]
    chance = 1.0 / (1.0 + np.exp(-first[order]))
    opens = np.ones(len(order), dtype=bool)
    opens[1:] = (np.diff(term) != 0) | (start[1:] >= end[:-1])
    place = np.cumsum(opens) - 1
    # the likeliest pair stands for each place, and the likeliest place for each wording of a term
    tops = np.lexsort((-chance, place))
    tops = tops[np.flatnonzero(np.diff(place[tops], prepend=-1))]
    ranked = tops[np.lexsort((-chance[tops], wording[tops], term[tops]))]
    fresh = np.ones(len(ranked), dtype=bool)
    fresh[1:] = (np.diff(term[ranked]) != 0) | (np.diff(wording[ranked]) != 0)
    group = np.empty(len(tops), dtype=np.int64)
    group[place[ranked]] = np.cumsum(fresh) - 1
    highest = chance[ranked[fresh]]
    total = np.bincount(term[ranked[fresh]], weights=highest, minlength=int(term.max()) + 1)
    found = np.empty(len(order))
    found[order] = np.log1p(np.maximum(0.0, total[term] - highest[group[place]]))
    return found
