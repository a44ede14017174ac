"""Numbers that are no figures of the build, whatever unit stands near: the size of a tyre, the heat range of a plug,
how many instruments there are, what a chart goes from and to, what the speaker asks himself."""

from __future__ import annotations

from pipeline.quantities.scan import Bare, Found, Scan, cue_words

# Of a tyre: its width, the height of its wall in per cent of that, and the diameter of the rim.
_WIDTHS, _WALLS, _RIMS = range(125, 356, 5), range(25, 86, 5), range(10, 23)
_RIMS_SAID = frozenset(
    "tens twelves thirteens fourteens fifteens sixteens seventeens eighteens nineteens twenties twenty-ones".split()  # noqa: SIM905
)
_TYRES_MM = range(18, 70)
_HEAT_RANGES = range(2, 13)
_PLUGGED = frozenset(
    {"run", "runs", "running", "ran", "try", "tried", "fit", "fitted", "got", "was", "with", "to", "put", "use"}
)
_OTHER_PLUGS = frozenset({"drain", "sump", "filler", "level", "core", "welsh", "allen", "magnetic", "blanking", "glow"})
_FITTED = frozenset({"in", "for", "on", "instead", "and", "so", "now", "next", "then", "or"})
_OWNED = frozenset({"had", "have", "has", "got", "own", "owns", "owned", "bought", "keep", "keeps", "borrowed"})
_MOST_OWNED = 9
_SHIFTED = frozenset({"shifter", "shifters", "drivetrain", "groupset", "cassette", "derailleur", "derailleurs"})
_CHARTED = frozenset({"chart", "charts"})
_IS_IT = frozenset({("is", "that"), ("is", "it"), ("was", "that"), ("was", "it"), ("is", "this"), ("says", "either")})
_IS_NOT = frozenset(
    {("that's", "not"), ("it's", "not"), ("thats", "not"), ("that", "isn't"), ("it", "isn't"), ("is", "not")}
)
_ASKED_WITHIN = 5
_LEAST_SLOPE = 4
_GAINED, _GAINED_WITHIN = frozenset({"gains", "gain", "gained", "gaining", "loses", "lose", "lost", "losing"}), 4
_DAYS = frozenset({"day", "week", "month", "hour", "night"})
_BORN = frozenset({"born", "newborn", "baby", "grandson", "granddaughter", "twins"})


def without_others(scan: Scan) -> None:
    """Takes such numbers out of `scan.bare`, and instruments and units spoken of out of `scan.found`."""
    sizes = {place for bare in scan.bare for place in _of_a_tyre(scan, bare)}
    scan.bare = [bare for bare in scan.bare if bare.start not in sizes and not _is_none(scan, bare)]
    scan.found = [found for found in scan.found if not _is_no_measure(scan, found)]


def _is_none(scan: Scan, bare: Bare) -> bool:
    return (
        _sloped(scan, bare)
        or _wide(scan, bare)
        or _gears(scan, bare)
        or _heat_range(scan, bare)
        or _on_a_chart(scan, bare)
        or _asked(scan, bare)
        or _is_not_one(scan, bare)
        or _spent(scan, bare)
    )


def _is_no_measure(scan: Scan, found: Found) -> bool:
    return (
        _instruments(scan, found)
        or _what_is_a_thou(scan, found)
        or _rate_of_a_clock(scan, found)
        or _of_a_baby(scan, found)
    )


def _of_a_tyre(scan: Scan, bare: Bare) -> set[int]:
    """ "one eighty-five, sixty-five, fifteens": where the numbers of a tyre's size begin, from its width on."""
    if bare.value not in _WIDTHS or bare.high is not None:
        return set()
    wall = next((item for item in scan.bare if item.start == bare.end and item.value in _WALLS), None)
    if wall is None or wall.high is not None:
        return set()
    rim = next((item for item in scan.bare if wall.end <= item.start <= wall.end + 1 and item.value in _RIMS), None)
    if rim is None and scan.at(wall.end) not in _RIMS_SAID:
        return set()
    return {bare.start, wall.start} | ({rim.start} if rim is not None else set())


def _sloped(scan: Scan, bare: Bare) -> bool:
    """ "a taper of one in twenty"."""
    led = scan.words[max(0, bare.start - 2) : bare.start] == ["one", "in"] and scan.joined(bare.start)
    return led and bare.value.denominator == 1 and bare.value >= _LEAST_SLOPE


def _wide(scan: Scan, bare: Bare) -> bool:
    """ "the tyre's a 37, and I've pumped that to 65 psi": how wide it is."""
    led = scan.at(bare.start - 1) in ("a", "an") and scan.joined(bare.start)
    closes = bare.end in scan.breaks or scan.at(bare.end) in ("", "and", "so", "but", "now")
    at = bare.start - 2 - (scan.at(bare.start - 2) in ("is", "was"))
    short = scan.at(at).endswith("'s") or at == bare.start - 3
    return led and closes and short and scan.plain[max(0, at)] in cue_words("tyre_words") and bare.value in _TYRES_MM


def _gears(scan: Scan, bare: Bare) -> bool:
    """ "the shifters are three by nine": how many wheels in front, and how many behind."""
    talk = scan.sentence_words(bare.start) & _SHIFTED
    first = scan.at(bare.end) in ("by", "x") and bare.value in (1, 2, 3) and bare.end not in scan.breaks
    second = scan.at(bare.start - 1) in ("by", "x") and bare.value in range(5, 14)
    return bool(talk) and (first or second)


def _heat_range(scan: Scan, bare: Bare) -> bool:
    """ "the book says a number eight plug, but I've got a seven in there": of a plug."""
    led = scan.at(bare.start - 1) in ("a", "an") and scan.joined(bare.start)
    closes = bare.end in scan.breaks or scan.at(bare.end) in _FITTED or bare.end >= len(scan.words)
    if not led or not closes or bare.value not in _HEAT_RANGES or bare.high is not None:
        return False
    talk = {*scan.plain[slice(*scan.with_sentence_before(bare.start))]}
    before = {*scan.plain[max(0, bare.start - 4) : bare.start]}
    return "plug" in talk and bool(before & _PLUGGED) and not talk & (_OTHER_PLUGS | cue_words("spanner_nouns"))


def _on_a_chart(scan: Scan, bare: Bare) -> bool:
    """ "the screwcutting chart goes from four up to fifty-six": what can be chosen, and nothing that is."""
    start = scan.sentence(bare.start)[0]
    said = scan.plain[start : bare.start]
    return (
        bool({*said} & _CHARTED)
        and bool({*said} & {"goes", "runs"})
        and {"from", "to"} <= {*scan.words[start : bare.end + 3]}
    )


def _asked(scan: Scan, bare: Bare) -> bool:
    """ "is that a five or an eight?", "did I say twenty?": the speaker says what it is when he knows."""
    if scan.words[max(0, bare.start - 3) : bare.start] == ["did", "i", "say"]:
        return True
    first = max(0, bare.start - 2 * _ASKED_WITHIN)
    before = scan.words[first : bare.start]
    asked = [at for at in range(len(before) - 1) if (before[at], before[at + 1]) in _IS_IT]
    if not asked or bare.high is not None:
        return False
    start = first + asked[-1]
    behind = scan.words[bare.end : bare.end + 3] if bare.end not in scan.breaks else []
    between = scan.words[start + 2 : bare.start]
    first_of_two = len(between) <= 1 and behind[:1] == ["or"]
    second_of_two = "or" in between and len(between) <= _ASKED_WITHIN and between[-1] in ("or", "a", "an")
    return first_of_two or second_of_two


def _is_not_one(scan: Scan, bare: Bare) -> bool:
    """ "that's not a forty": what it looked like, and is not."""
    led = scan.at(bare.start - 1) in ("a", "an") and scan.joined(bare.start)
    closes = bare.end in scan.breaks or bare.end >= len(scan.words)
    return led and closes and tuple(scan.words[max(0, bare.start - 3) : bare.start - 1]) in _IS_NOT


def _instruments(scan: Scan, found: Found) -> bool:
    """ "he had three micrometers": what is measured with, as against so many thousandths of a millimetre."""
    named = found.unit == "µm" and scan.at(found.end - 1) in ("micrometer", "micrometers")
    few = found.value.denominator == 1 and found.value <= _MOST_OWNED and found.high is None
    return named and few and bool({*scan.words[max(0, found.head - 2) : found.head]} & _OWNED)


def _what_is_a_thou(scan: Scan, found: Found) -> bool:
    """ "the lad asked me what a thou is"."""
    return scan.at(found.head - 1) == "what" and found.unit == "thou" and found.value == 1


def _rate_of_a_clock(scan: Scan, found: Found) -> bool:
    """ "it gains four minutes a day": how wrong a clock goes."""
    goes = {*scan.plain[max(0, found.head - _GAINED_WITHIN) : found.head]} & _GAINED
    each = scan.at(found.end) in ("a", "per", "every") and scan.at(found.end + 1) in _DAYS
    return found.kind == "duration" and bool(goes) and (each or scan.at(found.end) in ("fast", "slow"))


def _of_a_baby(scan: Scan, found: Found) -> bool:
    """ "his wife had the baby, three kilos eight hundred": what a child weighs."""
    start, end = scan.sentence(found.start)
    return found.kind == "mass" and bool({*scan.plain[start:end]} & _BORN)


def _spent(scan: Scan, bare: Bare) -> bool:
    """ "so that's another hundred and fifty gone": money, or what else is no more."""
    led = scan.at(bare.start - 1) == "another" and scan.joined(bare.start)
    return led and scan.at(bare.end) in ("gone", "spent", "quid") and bare.end not in scan.breaks
