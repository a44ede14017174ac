"""Parts that are shown, not worked on: "here we have the new clutch plates"."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.rules import Rules
from pipeline.records import PartMention, Token

_SHOWS = frozenset(
    ("is", "are", "'s", "was", "were", "have", "got", "has", "had", "here", "there", "see", "this", "the")
)

_HANG_ON = frozenset(("for", "of", "in", "on", "over", "behind", "under", "inside"))


def find_presented(
    scan: Scan, rules: Rules, tokens: Sequence[Token], spans: Sequence[tuple[int, int]]
) -> list[PartMention]:
    """Every presented part, and every part whose condition or finish is told outside an event."""
    mentions = []
    told = {at for start, end in spans for at in range(start, end)}
    for phrase in scan.phrases:
        if not phrase.is_part or phrase.weak or phrase.start in told:
            continue
        condition, finish = ("", "") if _hangs_on(phrase, scan) else told_after(phrase, scan, rules)
        hanging = _hanging(phrase, scan)
        if hanging is not None:  # "the key for the bull gear is new"
            condition, finish = told_after(hanging, scan, rules)
        condition, finish = phrase.condition or condition, phrase.finish or finish
        # a name that no vocabulary has is a part only where something is said of it
        if not (condition or finish or (phrase.kind and _is_shown(phrase, scan))):
            continue
        first, last = scan.units[phrase.start].token, scan.units[phrase.end - 1].token
        mentions.append(
            PartMention(
                phrase.name, phrase.side, phrase.position, condition, finish, phrase.count,
                " ".join(token.text for token in tokens[first : last + 1]), tokens[first].start_word,
                tokens[last].end_word, tokens[first].start_ms, phrase.assembly,
            )
        )  # fmt: skip
    return mentions


def _hangs_on(phrase: Phrase, scan: Scan) -> bool:
    """True for the gear of "the key for the bull gear": what is said after it is said of the key."""
    before = scan.ending.get(phrase.start - 1)
    between = scan.text[phrase.start - 1] if phrase.start else ""
    flows = phrase.start > 1 and not scan.gap[phrase.start] and not scan.gap[phrase.start - 1]
    return flows and before is not None and before.is_part and between in _HANG_ON


def _hanging(phrase: Phrase, scan: Scan) -> Phrase | None:
    """What hangs on a part as its place or use, None where nothing does."""
    after = scan.starting.get(phrase.end + 1)
    return after if after is not None and after.is_part and _hangs_on(after, scan) else None


def _is_shown(phrase: Phrase, scan: Scan) -> bool:
    """ "this is the", "here's the", "I've got a", "there are two"."""
    at = phrase.start - 1
    while at >= 0 and scan.text[at] in ("just", "our", "basically", "actually", "now", "both", "also"):
        at -= 1
    if at < 0 or scan.text[at] not in ("is", "are", "'s", "have", "got", "see"):
        return False
    return at == 0 or scan.text[at - 1] in (
        "this", "that", "these", "those", "here", "there", "i", "we", "have", "it", "they", "can", "what", "next",
    )  # fmt: skip


def told_after(phrase: Phrase, scan: Scan, rules: Rules) -> tuple[str, str]:
    """ "the piston is new": what a form of "be" says of the part."""
    text, at = scan.text, phrase.end
    if at >= len(text) or text[at] not in ("is", "are", "'s", "was", "were"):
        return "", ""
    at += 1
    while at < len(text) and text[at] in ("the", "a", "all", "just", "also", "both", "actually", "now", "been"):
        at += 1
    if text[at : at + 2] in (["old", "one"], ["old", "ones"]):
        return "reused", ""
    condition = rules.condition.at(text, at)
    return (condition[1] if condition else ""), ""
