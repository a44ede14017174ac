"""What speaks for and against a part being what a verb group is about, and for each status: names of features.

A feature is a short text ("prep=with", "kind=fastener|tighten"); its weights stand in
`pipeline/data/event_weights.json`, which a person can read and `tools/fit_events.py` makes.
"""

from __future__ import annotations

from bisect import bisect_left

from pipeline.correct.language import english
from pipeline.events.options import LOOSE, Option
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.reading import PAUSE, SENTENCE
from pipeline.events.rules import Rules

_STEPS = (1, 2, 3, 5, 8, 12, 18, 27, 40)


def near(distance: int) -> int:
    """A distance as a step of a growing scale."""
    return bisect_left(_STEPS, distance)


class Evidence:
    """Features of the predicates of one scan."""

    def __init__(self, rules: Rules, scan: Scan, predicates: list[Predicate]) -> None:
        self._rules, self._scan = rules, scan
        self._english = english()
        self._telling = rules.words["telling"]
        self._told: Predicate | None = None
        self._acting = [predicate.verb for predicate in predicates if predicate.action]
        self._verbs = sorted(scan.verbs)
        self._breaks = [at for at, gap in enumerate(scan.gap) if gap >= SENTENCE]
        self._pauses = [at for at, gap in enumerate(scan.gap) if gap >= 1]

    def _common(self, word: str) -> int:
        """How common a word is in everyday English: 0 (unknown) to 7."""
        return self._english.frequency(word) // 10

    def _word(self, at: int) -> str:
        if not 0 <= at < len(self._scan.text):
            return "^"
        word = self._scan.text[at]
        if word in self._telling or word in self._rules.words["prepositions"]:
            return word
        if at in self._scan.verbs:
            return "VERB"
        if at in self._scan.figures:
            return "FIGURE"
        return "word"

    def of_predicate(self, predicate: Predicate, last: Predicate | None, chosen: list[Phrase]) -> list[str]:
        """What is known of the verb group, whatever its part."""
        scan, text = self._scan, self._scan.text
        self._told = last
        subject = predicate.subject
        who = "-" if subject is None else subject.head if subject.kind in ("person", "pronoun") else "part"
        voice, form, action = predicate.voice, predicate.form, predicate.action
        pronouns = any(part.is_pronoun for part in predicate.objects)
        told = "pronoun" if pronouns else "named" if predicate.objects else "none"
        found = [
            f"status={predicate.status}",
            f"trigger={predicate.trigger}",
            f"voice={voice}",
            f"form={form}",
            f"{voice}|{form}",
            f"who={who}",
            f"who={who}|{form}",
            f"action={action}",
            f"said={predicate.said_as}",
            f"objects={told}",
            f"objects={told}|{voice}",
            f"parts={min(len(chosen), 2)}",
            f"lemma={predicate.lemma}",
            f"{action}|{voice}",
            f"status={predicate.status}|{form}",
            f"status={predicate.status}|{voice}",
            f"linked={predicate.linked}",
            f"bare={scan.bare}",
            f"doubt={predicate.doubt}",
            f"doubt={predicate.doubt}|{predicate.status}",
            f"doubt={predicate.doubt}|{predicate.said_as}",
            f"doubt={predicate.doubt}|{self._word(predicate.end)}",
            f"doubt={predicate.doubt}|{who}",
        ]
        for word in text[predicate.group : predicate.verb]:
            found.append(f"chain={word}")
        opened = self._breaks[max(0, bisect_left(self._breaks, predicate.verb + 1) - 1)]
        start = max(opened, predicate.group - 9)
        found += {f"before={word}" for word in text[start : predicate.group] if word in self._telling}
        stop = predicate.end
        while stop < min(len(text), predicate.end + 9) and scan.gap[stop] < SENTENCE:
            stop += 1
        found += {f"after={word}" for word in text[predicate.end : stop] if word in self._telling}
        found.append(f"first={self._word(opened)}")
        found.append(f"left={self._word(predicate.group - 1)}")
        found.append(f"left2={self._word(predicate.group - 2)} {self._word(predicate.group - 1)}")
        found.append(f"right={self._word(predicate.end)}")
        found.append(f"gap={scan.gap[predicate.start]}")
        if last is not None and predicate.verb - last.verb < 40:
            found.append(f"last={last.status}")
            found.append(f"last={last.status}|{predicate.status}")
            found.append(f"lastaction={last.action == action}")
        return found

    def of_option(
        self,
        predicate: Predicate,
        option: Option,
        action: str,
        chosen: list[Phrase],
        worked: dict[str, int],
        last: list[Phrase],
    ) -> list[str]:
        """What speaks for and against one part of the predicate. `worked`: where each part was last worked on."""
        scan, part = self._scan, option.part
        how, kind = option.chosen, part.kind or "unknown"
        after = part.start >= predicate.verb
        side = "after" if after else "before"
        low, high = (predicate.verb, part.start) if after else (part.end, predicate.group)
        distance = max(0, high - low)
        acting = bisect_left(self._acting, part.start) - bisect_left(self._acting, predicate.verb)
        between = abs(acting) - (1 if after and acting else 0)
        verbs = max(0, bisect_left(self._verbs, high) - bisect_left(self._verbs, low + (1 if after else 0)))
        sentences = max(0, bisect_left(self._breaks, high + 1) - bisect_left(self._breaks, low + (1 if after else 0)))
        breaks = max(0, bisect_left(self._pauses, high + 1) - bisect_left(self._pauses, low + 1))
        led = self._word(part.start - 1) if not (part.start < len(scan.gap) and scan.gap[part.start] >= PAUSE) else "|"
        follows = self._word(part.end) if part.end < len(scan.gap) and not scan.gap[part.end] else "|"
        pronoun = next((phrase for phrase in predicate.objects if phrase.is_pronoun), None)
        where = f"{side}{near(distance)}"
        found = [
            f"how={how}",
            f"how={how}|{predicate.voice}",
            f"how={how}|{predicate.status == 'none'}",
            f"how={how}|{action}",
            f"kind={kind}",
            f"kind={kind}|{action}",
            f"head={part.head}",
            f"head={part.head}|{action}",
            f"weak={part.weak}|{kind == 'unknown'}|{how != ''}",
            f"det={part.determiner}|{kind == 'unknown'}",
            f"condition={part.condition}|{action}",
            f"rival={bool(chosen)}|{how != ''}",
        ]
        if how:
            found += [
                f"chosen:{where}",
                f"chosen:led={led}",
                f"chosen:follows={follows}|{side}",
                f"chosen:kind={kind}",
                f"chosen:verbs={min(verbs, 3)}|{side}",
            ]
            if pronoun is not None:
                found.append(f"chosen:pronoun={pronoun.head}")
        else:
            told = "pronoun" if pronoun is not None else "named" if predicate.objects else "none"
            found += [
                f"where={where}|{told}",
                f"where={where}|{bool(chosen)}",
                f"verbs={side}{min(verbs, 4)}|{told}",
                f"acts={side}{min(between, 3)}|{told}",
                f"sentences={side}{min(sentences, 3)}|{told}",
                f"breaks={side}{min(breaks, 3)}",
                f"led={led}|{side}",
                f"follows={follows}|{side}",
                f"recency={side}{option.recency}|{told}",
                f"voice={predicate.voice}|{side}|{told}",
                f"led={led}|{side}|{min(sentences, 1)}",
            ]
            if chosen:
                ways = {"named" if phrase in predicate.objects else "found" for phrase in chosen}
                found.append(f"against={'+'.join(sorted(ways))}|{side}")
        if predicate.doubt:
            found += [
                f"{predicate.doubt}|{kind}|{action}",
                f"{predicate.doubt}|det={part.determiner}",
                f"{predicate.doubt}|condition={part.condition}",
            ]
        if not part.kind:
            found.append(f"common={self._common(part.head)}|{how != ''}")
            found.append(f"common={self._common(part.head)}|{part.determiner != ''}|{len(part.name.split()) > 1}")
            found.append(f"ending={part.head[-3:]}")
        if predicate.voice in ("implied", *LOOSE):
            voice, before = predicate.voice, predicate.lemma_before
            told = f"{self._told.action}|{self._told.voice}" if self._told is not None else ""
            since = near(max(0, predicate.verb - self._told.end)) if self._told is not None else 9
            with_last = any(other.name == part.name for other in last)
            found += [
                f"{voice}|{kind}|{how}",
                f"{voice}|{part.condition}|{before}|{action}",
                f"{voice}|{part.determiner}|{before}",
                f"{voice}|{told}|{action}",
                f"{voice}|{before}|{told}",
                f"{voice}|since={since}|{before}",
                f"{voice}|with last={with_last}|{since}",
                f"{voice}|follows={follows}",
                f"{voice}|{part.weak}|{kind}",
                f"{voice}|{min(sentences, 1)}|{side}|{with_last}",
                f"{voice}|acting={self._told.status if self._told else ''}",
            ]
        if predicate.voice in LOOSE:
            found += [
                f"{predicate.voice}|{where}",
                f"{predicate.voice}|recency={side}{option.recency}|{kind}",
                f"{predicate.voice}|sentences={side}{min(sentences, 2)}",
                f"{predicate.voice}|led={led}|{side}",
            ]
        if pronoun is not None:
            found.append(f"number={pronoun.plural == part.plural}|{pronoun.head}")
        if any(other.name == part.name for other in last):
            found.append(f"worked on last|{how != ''}")
        at = worked.get(part.name)
        found.append(f"worked={near(predicate.verb - at) if at is not None else '-'}|{how != ''}")
        if part is predicate.subject:
            found.append(f"subject|{predicate.voice}")
        return found
