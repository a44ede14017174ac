"""Says a number in English words, British fashion."""

from decimal import Decimal

from pipeline.numbers.words import ONES, TEENS, TENS

_BELOW_TWENTY = {0: "zero", **{value: word for word, value in {**ONES, **TEENS}.items()}}
_TENS = {value: word for word, value in reversed(TENS.items())}


def speak_number(value: float) -> str:
    """Words for a number, decimals digit by digit.

    >>> speak_number(345), speak_number(0.05), speak_number(-10)
    ('three hundred and forty-five', 'zero point zero five', 'minus ten')
    """
    if value < 0:
        return "minus " + speak_number(-value)
    whole, _, decimals = format(Decimal(repr(value)), "f").partition(".")
    words = _whole(int(whole))
    if decimals.strip("0"):
        digits = [_BELOW_TWENTY[int(digit)] for digit in decimals.rstrip("0")]
        words += " point " + " ".join(digits)
    return words


def _whole(value: int) -> str:
    if value < 20:
        return _BELOW_TWENTY[value]
    if value < 100:
        tens = _TENS[value // 10 * 10]
        return f"{tens}-{_BELOW_TWENTY[value % 10]}" if value % 10 else tens
    if value < 1000:
        rest = f" and {_whole(value % 100)}" if value % 100 else ""
        return f"{_BELOW_TWENTY[value // 100]} hundred{rest}"
    scale, name = (1_000_000, "million") if value >= 1_000_000 else (1000, "thousand")
    amount, left = divmod(value, scale)
    tail = "" if not left else f" and {_whole(left)}" if left < 100 else f" {_whole(left)}"
    return f"{_whole(amount)} {name}{tail}"
