"""What the reader network says of a proposal, as names of features for the judge."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.reader.reading import ACTIONS, UNRELATED, VERB_PART, Reading

_LOWEST, _HIGHEST = -8, 8


def step(score: float) -> int:
    """A score as a whole step."""
    return max(_LOWEST, min(_HIGHEST, round(score)))


class ReaderEvidence:
    """Features from one reading, for the predicates of one scan."""

    def __init__(self, scan: Scan, reading: Reading) -> None:
        self._units, self._reading = scan.units, reading

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

    def pair(self, token: int, part: Phrase) -> float:
        """How much the word at a token is about a part."""
        return self._reading.pairs.score(VERB_PART, token, self.head_of(part))

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
        for score, action in zip(scores, actions, strict=True):
            about, behind = step(score), min(8, round(best - score))
            does = step(self._reading.action(action, tokens))
            found.append(
                [
                    f"about={about}",
                    f"about={about}|{predicate.voice}",
                    f"behind={behind}",
                    f"behind={behind}|{step(best) // 2}",
                    f"does={does}",
                    f"does={does}|about={max(-6, about) // 2}",
                ]
            )
        return found
