"""What the reader network says of a proposal, as names of features for the judge."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence

import numpy as np

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.reader.reading import ACTIONS, UNRELATED, VERB_PART, Floats, Reading, step

# A word that tells the same of the same part, if both are told nearer than so many words and likelier than this.
_NEAR, _HARDLY = 15, -2.0


class ReaderEvidence:
    """Features from one reading, for the predicates of one scan."""

    def __init__(self, scan: Scan, reading: Reading) -> None:
        self._units, self._reading = scan.units, reading
        self._telling: dict[str, list[tuple[int, float]]] = {}

    def token_of(self, predicate: Predicate) -> int:
        """The token that tells a predicate: its verb, or the last word of a part told without one."""
        at = predicate.end - 1 if predicate.voice == "implied" else predicate.verb
        return self._units[min(at, len(self._units) - 1)].token

    def tokens_of(self, predicate: Predicate) -> list[int]:
        """All tokens of the verb group."""
        if predicate.voice == "implied":
            return [self.token_of(predicate)]
        last = min(max(predicate.verb + 1, min(predicate.end, predicate.verb + 4)), len(self._units))
        return sorted({unit.token for unit in self._units[predicate.verb : last]} | {self.token_of(predicate)})

    def before(self, predicate: Predicate) -> set[int]:
        """The tokens of what stands before the verb in its group: "it'll have to"."""
        return {unit.token for unit in self._units[predicate.group : predicate.verb]}

    def head_of(self, part: Phrase) -> int:
        """The token of a part's last word."""
        return self._units[part.end - 1].token

    def of_predicate(self, predicate: Predicate) -> list[str]:
        """What speaks for and against a verb group's telling its action."""
        reading, tokens = self._reading, self.tokens_of(predicate)
        at = self.token_of(predicate)
        score = step(reading.action(predicate.action, tokens))
        told, action, other = reading.telling(tokens)
        status, lead = reading.status(at if reading.telling([at])[2] > -2 else told)
        return [
            f"read={score}",
            f"read={score}|{predicate.voice}",
            f"read={score}|{predicate.doubt}",
            f"tells={step(other)}|{action == predicate.action}",
            f"tells={action}|{predicate.action}" if action != predicate.action and other > 0 else "tells",
            f"says={status}",
            f"says={status}|{min(6, round(lead))}",
            f"says={status}|{predicate.status}",
        ]

    def told(self, least: float) -> Iterator[tuple[int, str, float]]:
        """(token, action, score) of every token that tells something, and of its second action where it is close."""
        odds = self._reading.actions[:, 1:] - self._reading.actions[:, :1]
        for token in np.flatnonzero(odds.max(1) > least):
            row = odds[token]
            for column in np.argsort(-row)[:2]:
                if row[column] > least and row[column] > row.max() - 2.5:
                    yield int(token), ACTIONS[int(column)], float(row[column])

    def around(self, token: int, low: int, high: int) -> Floats:
        """How much the word at a token is about each of the words `low`..`high`."""
        return self._reading.pairs.around(VERB_PART, token, low, high)

    def about(self, predicate: Predicate, part: Phrase) -> float:
        """How much the reading takes a part for what a verb group is about."""
        head = self.head_of(part)
        if predicate.voice == "implied":
            return self._reading.pairs.score(VERB_PART, head, head)
        return max(self._reading.pairs.score(VERB_PART, at, head) for at in self.tokens_of(predicate))

    def of_options(self, predicate: Predicate, parts: Sequence[Phrase], actions: Sequence[str]) -> list[list[str]]:
        """What speaks for and against each part of a verb group."""
        scores = [self.about(predicate, part) for part in parts]
        best = max(scores, default=UNRELATED)
        tokens = self.tokens_of(predicate)
        found = []
        for part, score, action in zip(parts, scores, actions, strict=True):
            about, behind = step(score), min(8, round(best - score))
            odds = self._reading.action(action, tokens)
            does, own = step(odds), min(odds, score)
            joint, other = step(own), step(self._elsewhere(action, self.head_of(part), tokens))
            found.append(
                [
                    f"about={about}",
                    f"about={about}|{predicate.voice}",
                    f"behind={behind}",
                    f"behind={behind}|{step(best) // 2}",
                    f"does={does}",
                    f"does={does}|about={max(-6, about) // 2}",
                    f"joint={joint}|{predicate.voice}",
                    f"joint={joint}|{predicate.doubt}",
                    f"elsewhere={max(-4, other)}|{max(-4, joint)}",
                    f"elsewhere={other > joint}|{predicate.voice}",
                ]
            )
        return found

    def _elsewhere(self, action: str, head: int, tokens: Sequence[int]) -> float:
        """How much the same is told of the same part by the word nearby that most tells it."""
        if action not in self._telling:
            column = ACTIONS.index(action) + 1
            odds = self._reading.actions[:, column] - self._reading.actions[:, 0]
            self._telling[action] = [(int(at), float(odds[at])) for at in np.flatnonzero(odds > _HARDLY)]
        places = self._telling[action]
        first, last = bisect_left(places, (tokens[0] - _NEAR,)), bisect_left(places, (tokens[-1] + _NEAR + 1,))
        return max(
            (
                min(odds, self._reading.pairs.score(VERB_PART, at, head))
                for at, odds in places[first:last]
                if at not in tokens
            ),
            default=UNRELATED,
        )
