"""Pounds that are money, whatever else stands near: "sixty two pounds from the trade counter"."""

from __future__ import annotations

from pipeline.numbers.words import word_set
from pipeline.quantities.scan import Scan

# Where things are bought, and how they come from there.
_SELLERS = word_set(
    "counter shop shops dealer dealers factor factors supplier suppliers catalogue merchant merchants breaker "
    "breakers scrapyard autojumble chandler chandlers"
)
_SENT = frozenset({"posted", "delivered", "postage", "vat", "secondhand", "cash"})
_SOLD_WITHIN = 5
# What so much is asked for: "four pounds for a bag of a hundred".
_LOTS = word_set("bag box pack packet pair set tin tub tube roll card dozen lot")


def sold(scan: Scan, end: int) -> bool:
    """ "sixty two pounds from the trade counter", "eighteen pounds posted": money, whatever is bought with it."""
    if end in scan.breaks:
        return False
    last = next((place for place in range(end, end + _SOLD_WITHIN) if place in scan.breaks), end + _SOLD_WITHIN)
    behind = scan.words[end:last]
    if behind[:1] == ["for"] and behind[1:2] in (["a"], ["the"], ["each"]) and {*behind[2:3]} & _LOTS:
        return True
    bought = behind[:1] in (["from"], ["off"]) and {*behind[1:]} & _SELLERS
    return bool(bought) or bool({*behind[:2]} & _SENT and {*behind[:1]} <= _SENT | {"plus", "in"})
