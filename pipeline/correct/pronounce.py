"""From spelling to sounds: the dictionary first, then compounds of known words, then letter-to-sound rules.

Sounds are the 39 phones of the ARPAbet without stress, one character each (`PHONES`).
"""

from __future__ import annotations

import gzip
import unicodedata
from functools import cache
from pathlib import Path

from pipeline.correct.language import english

PHONES = {
    "a": "AA", "A": "AE", "e": "AH", "o": "AO", "O": "AW", "I": "AY", "E": "EH", "3": "ER", "8": "EY", "i": "IH",
    "1": "IY", "0": "OW", "9": "OY", "7": "UH", "U": "UW", "b": "B", "C": "CH", "d": "D", "D": "DH", "f": "F",
    "g": "G", "h": "HH", "J": "JH", "k": "K", "l": "L", "m": "M", "n": "N", "N": "NG", "p": "P", "r": "R",
    "s": "S", "S": "SH", "t": "T", "T": "TH", "v": "V", "w": "W", "y": "Y", "z": "Z", "Z": "ZH",
}  # fmt: skip
VOWELS = frozenset("aAeoOIE38i1097U")

CONTEXTS = ((0, 0), (0, 1), (1, 1), (1, 2), (2, 2), (2, 3), (3, 3), (4, 4))
"""How many letters to the left and to the right a rule looks at, from the narrowest."""

RuleSet = list[dict[str, str]]
_PAD = "####"
_RULES = Path(__file__).resolve().parent.parent / "data" / "letter_to_sound.gz"
_DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_SHORTEST_PART = 3
_KNOWN_PART = 28


def context(word: str, place: int, depth: int) -> str:
    """The letter at `place` with its surroundings, as a key of the rules.

    >>> context("clip", 0, 3)
    '#|c|li'
    """
    left, right = CONTEXTS[depth]
    padded = _PAD + word + _PAD
    spot = place + len(_PAD)
    return f"{padded[spot - left : spot]}|{word[place]}|{padded[spot + 1 : spot + 1 + right]}"


@cache
def _shipped_rules() -> RuleSet:
    rules: RuleSet = [{} for _ in CONTEXTS]
    for line in gzip.decompress(_RULES.read_bytes()).decode("utf-8").split("\n"):
        depth, key, share = line.split("\t")
        rules[int(depth)][key] = share
    return rules


def speak_by_rule(word: str, rules: RuleSet | None = None) -> str:
    """Sounds of a word of letters a to z by the rules alone: for each letter, the widest rule that fits."""
    rules = rules or _shipped_rules()
    sounds = []
    for place in range(len(word)):
        for depth in range(len(CONTEXTS) - 1, -1, -1):
            share = rules[depth].get(context(word, place, depth))
            if share is not None:
                sounds.append(share)
                break
    return "".join(sounds)


def plain_letters(text: str) -> str:
    """Lower case without accents: what the rules and comparisons work on.

    >>> plain_letters("Purée")
    'puree'
    """
    if text.isascii():
        return text.lower()
    folded = unicodedata.normalize("NFKD", text.lower()).replace("’", "'").replace("æ", "ae").replace("œ", "oe")
    return "".join(char for char in folded if not unicodedata.combining(char))


def _compound(word: str) -> tuple[str, ...]:
    """Sounds of two known words written as one ("layshaft"), the split whose rarer half is the more common one."""
    best: tuple[str, ...] = ()
    score = _KNOWN_PART
    data = english()
    for cut in range(_SHORTEST_PART, len(word) - _SHORTEST_PART + 1):
        first, second = word[:cut], word[cut:]
        rarer = min(data.frequency(first), data.frequency(second))
        if rarer > score and data.sounds(first) and data.sounds(second):
            best = (data.sounds(first)[0] + data.sounds(second)[0],)
            score = rarer
    return best


def _with_ending(word: str) -> tuple[str, ...]:
    """Sounds of an unknown plural or possessive whose stem is known."""
    for ending in ("'s", "s'", "s"):
        stem = word.removesuffix(ending)
        ways = english().sounds(stem) if stem != word and len(stem) > 2 else ()
        if ways:
            last = ways[0][-1]
            tail = "iz" if last in "szSZCJ" else "s" if last in "ptkfT" else "z"
            return (ways[0] + tail,)
    return ()


@cache
def speak(word: str) -> tuple[str, ...]:
    """Ways to say one word (at most two), empty where it has no letter or digit of ours.

    >>> speak("clip"), speak("layshaft")
    (('klip',), ('l8SAft',))
    """
    plain = plain_letters(word)
    known = english().sounds(plain)
    if known:
        return known
    if any(char.isdigit() for char in plain):
        parts = [_DIGITS[int(char)] if char in "0123456789" else char for char in plain if char.isalnum()]
        return ("".join(way for part in parts for way in speak(part)[:1]),)
    letters = "".join(char for char in plain if "a" <= char <= "z")
    if not letters:
        return ()
    if len(letters) > 1 and not set(letters) & set("aeiouy"):
        return ("".join(way for char in letters for way in speak(char)[:1]),)
    return _with_ending(plain) or _compound(letters) or (speak_by_rule(letters),)
