"""The condition that a part's own words tell: "the old bolts went back in", "a new washer, a spring and a pin".

What comes off is not the new one that lies ready, what a list has beside something new is not new itself, and of two
that were told together "one I changed, one I cleaned" is one each.
"""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.rules import Rules

IS_NEW, IS_OLD = "is new", "is the old one"
"""What a form of "be" tells of parts that have gone on."""

_FITTED = frozenset(("fit", "assemble"))
_OLD, _SAME = frozenset(("old", "existing")), "same"
_ONES = frozenset(("one", "ones", "un", "uns", "'un", "'uns"))
# "the same bolts" may be of the same kind only.
_ALIKE = frozenset(("other", "another", "opposite", "size", "sort", "type", "kind", "length", "way", "again", "too"))
_TAKEN = frozenset(("remove", "dismantle", "disconnect"))
_ITEM_OPENS = frozenset(("a", "an", "the", "some", "its", "my"))
_JOINTS = frozenset(("and", "plus"))
_MOST_ITEMS, _TOLD_WITHIN = 5, 7
_TELLERS = frozenset(("i", "we", "i've", "we've"))
_HAVE = frozenset(("have", "'ve", "just", "only", "had"))


def own_condition(condition: str, action: str, predicate: Predicate, part: Phrase, scan: Scan, rules: Rules) -> str:
    """The condition of a part that the predicate is about, which was taken to be `condition`."""
    if predicate.said_as in (IS_NEW, IS_OLD) and part.condition:
        return part.condition
    own = _object(predicate, part)
    if own is None or "new" in (own.condition, part.condition):
        return condition
    said = _said_old(own, scan)
    if action in _TAKEN and condition == "new" and said:
        return ""
    if action in _FITTED and said and (not condition or (condition == "new" and predicate.voice != "read")):
        return said
    if condition == "new" and own.is_part and _beside_new(own, scan, rules):
        return ""
    return condition


def _object(predicate: Predicate, part: Phrase) -> Phrase | None:
    """The phrase by which the predicate has the part: its name, or the pronoun for it."""
    named = next((told for told in predicate.objects if told.start == part.start), None)
    return named or next((told for told in predicate.objects if told.is_pronoun), None)


def _said_old(phrase: Phrase, scan: Scan) -> str:
    """ "the old bolts", "the same bearings", "the originals": reused or original, "" where the words say neither."""
    words = scan.text[phrase.start : phrase.end]
    if "originals" in words or ("original" in words and phrase.is_pronoun):
        return "original"
    if not _OLD.isdisjoint(words):
        return "reused"
    if _SAME in words and phrase.is_part and words.index(_SAME) + len(phrase.name.split()) + 1 == len(words):
        around = scan.text[phrase.start : phrase.end + _TOLD_WITHIN]
        return "reused" if _ALIKE.isdisjoint(around) and phrase.kind != "fluid" else ""
    return ""


def told_old(text: Sequence[str], at: int, head: str) -> tuple[str, int]:
    """What "is" says from a unit on, behind its article, and where that ends: "the old one", "the same old spring",
    "the original"; ("", at) where it says nothing so."""
    end = at
    while text[end : end + 1] and text[end] in (_SAME, "old", "original"):
        end += 1
    if text[end : end + 1] == ["originals"]:
        return "original", end + 1
    if end == at:
        return "", at
    word = text[end] if end < len(text) else ""
    named = word in _ONES or (head != "" and word.removesuffix("s") == head)
    if "original" in text[at:end]:
        return "original", end + named
    return ("reused", end + 1) if named else ("", at)


def _beside_new(part: Phrase, scan: Scan, rules: Rules) -> bool:
    """ "a couple of new washers, | a spring | and a split pin": what an item with an article of its own is not."""
    if part.determiner not in _ITEM_OPENS or part.condition:
        return False
    behind = (rules.condition.at(scan.text, at) for at in range(part.end, min(part.end + _TOLD_WITHIN, len(scan.text))))
    if any(hit is not None and hit[1] == "new" for hit in behind):
        return False  # "a spring and a pin, both new"
    first: Phrase | None = part
    for _ in range(_MOST_ITEMS):
        if first is None or first.determiner not in _ITEM_OPENS:
            return False
        joined = first.start > 0 and scan.text[first.start - 1] in _JOINTS
        if not joined and not scan.gap[first.start]:
            return False
        first = scan.ending.get(first.start - joined)
        if first is not None and first.is_part and first.condition == "new":
            return True
    return False


def own_count(predicate: Predicate, part: Phrase, named: Phrase, scan: Scan) -> int | None:
    """How many: "the right one is fine" is one of two, and so is "one I changed"."""
    if named is not part and not named.plural:
        return named.count
    at = predicate.verb
    while at > predicate.verb - 3 and at > 0 and scan.text[at - 1] in _HAVE:
        at -= 1
    one_of = at > 1 and scan.text[at - 1] in _TELLERS and scan.text[at - 2] == "one"
    return 1 if one_of and (part.count or 0) > 1 else part.count
