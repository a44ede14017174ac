"""Forms of English verbs, so that a new verb is one line of data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

_VOWELS = "aeiou"


def regular_forms(verb: str) -> dict[str, set[str]]:
    """Forms of a regular verb, each with its tags: base, s, past, pp, ing.

    Where one consonant may or may not be doubled ("fitted", "opened") both spellings are given.

    >>> sorted(regular_forms("tap"))
    ['tap', 'tapped', 'tapping', 'taps']
    >>> regular_forms("polish")["polished"] == {"past", "pp"}
    True
    """
    forms: dict[str, set[str]] = {}

    def add(form: str, *tags: str) -> None:
        forms.setdefault(form, set()).update(tags)

    add(verb, "base")
    consonant_y = verb.endswith("y") and verb[-2:-1] not in _VOWELS
    if consonant_y:
        add(verb[:-1] + "ies", "s")
    elif verb.endswith(("s", "x", "z", "ch", "sh", "o")):
        add(verb + "es", "s")
    else:
        add(verb + "s", "s")
    if verb.endswith("e"):
        add(verb + "d", "past", "pp")
        add((verb[:-2] + "y" if verb.endswith("ie") else verb if verb.endswith("ee") else verb[:-1]) + "ing", "ing")
    elif consonant_y:
        add(verb[:-1] + "ied", "past", "pp")
        add(verb + "ing", "ing")
    else:
        doubles = len(verb) > 2 and verb[-1] not in "wxyaeiou" and verb[-2] in _VOWELS and verb[-3] not in _VOWELS
        stems = [verb + verb[-1]] if doubles and len(verb) <= 4 else [verb, verb + verb[-1]] if doubles else [verb]
        if verb[-2:-1] == "u" and verb[-3:-2] == "q":
            stems.append(verb + verb[-1])
        for stem in stems:
            add(stem + "ed", "past", "pp")
            add(stem + "ing", "ing")
    return forms


def verb_forms(verb: str, irregular: Mapping[str, Sequence[str]]) -> dict[str, set[str]]:
    """All forms of a verb. `irregular` holds its past and its participle, alternatives split by a comma.

    >>> verb_forms("take", {"take": ["took", "taken"]})["taken"]
    {'pp'}
    """
    forms = regular_forms(verb)
    base = verb[2:] if verb.startswith("re") and verb not in irregular and verb[2:] in irregular else verb
    if base in irregular:
        forms = {form: tags for form, tags in forms.items() if not tags & {"past", "pp"}}
        prefix = "re" if base != verb else ""
        for tag, text in zip(("past", "pp"), irregular[base], strict=True):
            for form in text.split(","):
                forms.setdefault(prefix + form, set()).add(tag)
    return forms
