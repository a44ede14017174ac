"""Parts that are shown, not worked on: "here we have the new clutch plates"."""

from __future__ import annotations

from collections.abc import Container, Sequence

from pipeline.events.own_condition import told_old
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.rules import Rules
from pipeline.records import PartMention, Token

_SHOWS = frozenset(
    ("is", "are", "'s", "was", "were", "have", "got", "has", "had", "here", "there", "see", "this", "the")
)
# What is no thing by itself in a list of things.
_NO_ITEMS = frozenset(("material", "finish", "measure"))
_HOLDERS = frozenset(
    ("roll", "bag", "box", "length", "tin", "bottle", "tube", "packet", "coil", "sheet", "set", "pair")
)
_NO_THINGS = _HOLDERS | frozenset(
    ("size", "side", "bit", "lot", "way", "one", "day", "pound", "sort", "hole", "double")
)

_HANG_ON = frozenset(("for", "of", "in", "on", "over", "behind", "under", "inside"))


def find_presented(
    scan: Scan, rules: Rules, tokens: Sequence[Token], spans: Sequence[tuple[int, int]], listed: Container[int] = ()
) -> list[PartMention]:
    """Every presented part, and every part whose condition or finish is told outside an event; `listed` are the units
    of lists in which parts are shown."""
    mentions = []
    told = {at for start, end in spans for at in range(start, end)}
    for phrase in scan.phrases:
        if not phrase.is_part or phrase.weak or phrase.start in told:
            continue
        condition, finish = ("", "") if _hangs_on(phrase, scan) else told_after(phrase, scan, rules)
        hanging = _hanging(phrase, scan)
        if hanging is not None:  # "the key for the bull gear is new"
            condition, finish = told_after(hanging, scan, rules)
        item = phrase.start in listed and not _hangs(phrase, scan, rules) and phrase.kind not in _NO_ITEMS
        if item:
            condition = condition or _told_behind(phrase, scan, rules)
        condition, finish = phrase.condition or condition, phrase.finish or finish
        # a name that no vocabulary has is a part only where something is said of it
        if not (condition or finish or (item and _is_one(phrase)) or (phrase.kind and _is_shown(phrase, scan))):
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


def _hangs(phrase: Phrase, scan: Scan, rules: Rules) -> bool:
    """ "a seal kit for the caliper": the caliper is not what is shown."""
    at = phrase.start - 1
    if at < 0 or scan.gap[phrase.start] or scan.text[at] not in rules.words["prepositions"]:
        return False
    return scan.text[at] != "of" or scan.text[at - 1] not in _HOLDERS  # "a roll of pipe": the pipe


def _is_one(phrase: Phrase) -> bool:
    """Whether an item of a list is a thing: a known part, or so many of something."""
    if phrase.head in _NO_THINGS:
        return False
    return bool(phrase.kind) or phrase.determiner == "a" or phrase.count is not None


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
    old, _ = told_old(text, at, phrase.head)
    if old:
        return old, ""
    condition = rules.condition.at(text, at)
    return (condition[1] if condition else ""), ""


def _told_behind(phrase: Phrase, scan: Scan, rules: Rules) -> str:
    """ "two dust covers, new, four bushes", "two damper rods which are original": what closes an item of a list."""
    text, at = scan.text, phrase.end
    if text[at : at + 1] in (["which"], ["that"], ["all"], ["both"]):
        at += 1 + (text[at + 1 : at + 2] in (["are"], ["is"], ["'s"]))
    hit = rules.condition.at(text, at)
    closed = hit is not None and (hit[0] >= len(text) or scan.gap[hit[0]] > 0 or text[hit[0]] == "and")
    return hit[1] if hit is not None and closed else ""
