"""Counts of parts: "two M6 bolts", "four cylinder head nuts", "one circlip"."""

from __future__ import annotations

from functools import cache

from pipeline.numbers.words import NUMBER_WORDS, ONES, POINTS, ZEROS
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.units import figures_data, unit_table
from pipeline.vocabulary import regular_plural

_MOST_MODIFIERS = 4
# Numbers of chains: 25, 40, 420, 520.
_LEAST_CHAIN = 25
_TORX = frozenset({8, 10, 15, 20, 25, 27, 30, 40, 45, 50, 55, 60})
_JETS = frozenset({"jet", "jets"})
# Inches that timber is sold in.
_SAWN = frozenset({"two", "four", "six", "eight", "2", "4", "6", "8"})
_MOST_VALVES = 12
_MOST_HOURS = 12
_WHEELS = frozenset({12, 14, 16, 18, 20, 24, 26, 27, 28, 29, 650, 700})
_SCORES = frozenset({"twenty"})
_YOUNGEST = 14
_LEAST_MILES = 10_000
_ON_THE_CLOCK = frozenset({("on", "it"), ("on", "her"), ("on", "him"), ("on", "the")})
_IRREGULAR = {"leaf": "leaves", "battery": "batteries"}


@cache
def _nouns() -> tuple[frozenset[str], frozenset[str]]:
    """(singular, plural) last words of the things that are counted."""
    singular: list[str] = figures_data("counted")["nouns"]
    return frozenset(singular), frozenset(_IRREGULAR.get(noun, regular_plural(noun)) for noun in singular)


@cache
def not_between() -> frozenset[str]:
    """Words that end a run of modifiers: function words, everyday verbs, times."""
    return frozenset(figures_data("counted")["not_between"])


def counted_nouns() -> frozenset[str]:
    """Last words of the things that are counted, singular and plural."""
    singular, plural = _nouns()
    return singular | plural


def is_plural(word: str) -> bool:
    """Whether a word is the plural of a thing that is counted."""
    return word in _nouns()[1]


def labelled(scan: Scan, bare: Bare) -> bool:
    """ "page 40", "number three", "£20": a label or a price, not a figure of the build."""
    if bare.start and scan.pieces[bare.start].joint not in (" ",) and not scan.pieces[bare.start].joint.startswith(" "):
        return scan.pieces[bare.start - 1].text in ("£", "$", "€") or bare.start in scan.dashes
    if bare.end < len(scan.words) and bare.end not in scan.breaks and _names_a_sort(scan, bare):
        return True
    if _of_a_jet(scan, bare) or _timber(scan, bare) or _names_one(scan, bare) or _of_the_day(scan, bare):
        return True
    if bare.value >= _LEAST_MILES and tuple(scan.words[bare.end : bare.end + 2]) in _ON_THE_CLOCK:
        return True  # "an engine with four hundred thousand on it"
    if _of_a_wheel(scan, bare) or _priced(scan, bare) or _aged(scan, bare):
        return True
    if scan.at(bare.start - 1) == "t" and bare.value in _TORX and "torx" in scan.sentence_words(bare.start):
        return True  # "two torx screws, t twenty seven"
    return scan.joined(bare.start) and scan.at(bare.start - 1) in cue_words("labels") - {
        "the",
        "in",
        "around",
        "since",
        "box",
        "plate",
    }


def _names_a_sort(scan: Scan, bare: Bare) -> bool:
    """ "a 36 hole rim", "a two point six tyre", "520 chain", "three eighths pitch": of what sort a thing is."""
    following = scan.at(bare.end)
    if following.removesuffix("s") in ONES and following not in ONES and bare.value % 10 == 0:
        return True  # "a pair of twenty eights"
    if following == "chain":
        return bare.value >= _LEAST_CHAIN and bare.value.denominator == 1
    if following in cue_words("tyre_words"):
        return bare.value.denominator != 1 and bare.high is None
    if following == "hole" and scan.at(bare.end + 1) in ("saw", "saws"):
        return False
    return following in cue_words("sorts") or (
        following == "pitch" and scan.at(bare.end + 1) not in ("circle", "prop", "props", "propeller", "wheel")
    )


def _of_a_jet(scan: Scan, bare: Bare) -> bool:
    """ "the main jets are one fifteen and the pilots are forty", "a forty pilot jet": what is stamped on them."""
    if bare.value.denominator != 1 or not {*scan.plain[slice(*scan.with_sentence_before(bare.start))]} & _JETS:
        return False
    ahead = scan.plain[bare.end : bare.end + 2] if bare.end not in scan.breaks else []
    said = scan.at(bare.start - 1) in ("is", "are", "was", "were", "a", "an", "to", "from") and scan.joined(bare.start)
    shortened = scan.at(bare.start - 1).endswith("'s")
    behind = scan.plain[bare.start - 1 if shortened else bare.start - 2] if bare.start > 1 else ""
    return bool({*ahead} & _JETS) or ((said or shortened) and behind in _JETS | {"mains", "pilots", "pilot"})


def _timber(scan: Scan, bare: Bare) -> bool:
    """ "block it with a two by four", "bits of four by two": either number."""
    first = bare.start - 2 if scan.at(bare.start - 1) in ("by", "x") else bare.start
    sawn = scan.at(first) in _SAWN and scan.at(first + 1) in ("by", "x") and scan.at(first + 2).rstrip("s") in _SAWN
    behind = scan.at(first + 3)
    placed = behind == "in" and scan.at(first + 4) in ("the", "a", "my", "there")  # "a two by four in the deck"
    return (
        sawn
        and scan.at(first - 1) in ("a", "of", "some", "from")
        and (placed or first + 3 in scan.breaks or behind not in unit_table().aliases)
    )


def _of_the_day(scan: Scan, bare: Bare) -> bool:
    """ "at six this morning", "half ten last night": a time."""
    behind = tuple(scan.words[bare.end : bare.end + 2])
    if bare.value <= _MOST_HOURS and scan.at(bare.start - 1) == "at" and "o'clock" in scan.sentence_words(bare.start):
        return bare.value.denominator == 1 and scan.joined(bare.start)  # "four thou at twelve o'clock, nine at six"
    if scan.at(bare.start - 1) == "at" and scan.at(bare.start - 2) in ("tomorrow", "tonight", "today", "morning"):
        return bare.value <= _MOST_HOURS
    last = behind[-1:] if behind[:1] in (("this",), ("last",), ("tomorrow",), ("yesterday",)) else ()
    told = last in (("morning",), ("night",), ("evening",), ("afternoon",)) or behind == ("in", "the")
    in_the = behind != ("in", "the") or scan.at(bare.end + 2) in ("morning", "evening", "afternoon")
    hour = bare.value <= _MOST_HOURS or (bare.shape == "joined" and bare.value <= _MOST_HOURS * 100)
    return (
        hour and told and in_the and scan.at(bare.start - 1) in ("at", "by", "till", "until", "half", "about", "past")
    )


def _of_a_wheel(scan: Scan, bare: Bare) -> bool:
    """ "the tyres are 28 by one and a half", either number: what is written on a tyre."""
    if not scan.sentence_words(bare.start) & cue_words("tyre_words"):
        return False
    if scan.at(bare.end) in ("by", "x"):
        return bare.value in _WHEELS and bare.high is None
    first = scan.at(bare.start - 2)
    return scan.at(bare.start - 1) in ("by", "x") and (first in map(str, _WHEELS) or first in ONES or first in _SCORES)


def _priced(scan: Scan, bare: Bare) -> bool:
    """ "I gave a hundred and fifty for it", "she paid me sixty": money."""
    before = bare.start - (scan.at(bare.start - 1) in ("me", "him", "her", "us", "them", "about"))
    verb = scan.at(before - 1)
    if verb in ("paid", "charged", "quoted"):
        return scan.joined(bare.start)
    bought = scan.at(bare.end) == "for" and scan.at(bare.end + 1) in ("it", "them", "that", "her", "him", "the")
    return (
        verb in ("gave", "give", "want", "wanted", "wants", "asked", "asking")
        and bought
        and bare.end not in scan.breaks
    )


def _aged(scan: Scan, bare: Bare) -> bool:
    """ "because I am fifty-eight", "I'm not thirty any more", "count to ten"."""
    start = bare.start - (scan.at(bare.start - 1) in ("not", "nearly", "only", "over"))
    before = scan.words[max(0, start - 2) : start]
    if before[-1:] == ["to"] and before[0] in ("count", "counted", "counting"):
        return True
    old = bare.value.denominator == 1 and _YOUNGEST <= bare.value < 100 and bare.high is None
    closes = bare.end in scan.breaks or scan.at(bare.end) in ("", "and", "now", "years", "next", "this", "any")
    return old and closes and (before[-1:] in (["i'm"], ["im"]) or before == ["i", "am"])


def _names_one(scan: Scan, bare: Bare) -> bool:
    """ "intake two is point one oh": which of them it is."""
    which = bare.value.denominator == 1 and bare.value <= _MOST_VALVES and bare.high is None
    after = scan.at(bare.end) in ("is", "was", "at") or scan.pieces[bare.end - 1].raw.endswith(("'s", "’s"))
    figure = scan.at(bare.end + (scan.at(bare.end) in ("is", "was", "at")))
    measured = figure in NUMBER_WORDS | POINTS | ZEROS or figure[:1].isdigit()
    return which and after and measured and scan.at(bare.start - 1) in cue_words("valve_words") | {"cylinder", "pot"}


def read_count(scan: Scan, bare: Bare, taken: dict[int, int]) -> Found | None:
    """The count that a bare number makes of the noun after it. `taken`: start -> end of figures found."""
    if bare.value.denominator != 1 or not 1 <= bare.value <= 999 or labelled(scan, bare):
        return None
    if bare.shape == "joined" and bare.value >= 200:
        return None
    singular, plural = _nouns()
    wanted = singular if bare.value == 1 and bare.high is None else plural
    index = bare.end
    if index < len(scan.pieces) and scan.pieces[index].joint == "-":
        # "a one-piece crank", "four-bolt flange"
        return None
    if scan.at(index) == "of" and scan.at(index + 1) in ("these", "those", "the", "them", "my"):
        index += 2
    for _ in range(_MOST_MODIFIERS + 1):
        if index >= len(scan.words) or index in scan.breaks:
            return None
        if index in taken:
            index = taken[index]
            if index in scan.breaks:
                return None
            continue
        word = scan.words[index]
        if word in ("by", "x") and index + 1 in taken:
            index += 1
            continue
        if word in wanted and not _goes_on(scan, index, singular, plural, wanted):
            return Found("count", bare.value, bare.high, "", bare.start, bare.end, bare.start, why=f"counts the {word}")
        if word in not_between() or word[0].isdigit():
            return None
        index += 1
    return None


def _goes_on(scan: Scan, index: int, singular: frozenset[str], plural: frozenset[str], wanted: frozenset[str]) -> bool:
    """ "one cylinder head": the noun is only the first of a longer name that ends in another noun."""
    following = scan.at(index + 1)
    if index + 1 in scan.breaks or not following:
        return False
    if wanted is singular and scan.at(index) == "bearing" and following in ("a", "an", "the", "in"):
        return True
    return wanted is singular and following in plural
