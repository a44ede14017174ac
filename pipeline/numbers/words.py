"""The closed tables of spoken English number words. A new word is one entry."""

from fractions import Fraction


def word_set(text: str) -> frozenset[str]:
    """The words of a line of text, as a set."""
    return frozenset(text.split())


ONES = {
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
}
TEENS = {
    "ten": 10,
    "eleven": 11,
    "twelve": 12,
    "thirteen": 13,
    "fourteen": 14,
    "fifteen": 15,
    "sixteen": 16,
    "seventeen": 17,
    "eighteen": 18,
    "nineteen": 19,
}
TENS = {
    "twenty": 20,
    "thirty": 30,
    "forty": 40,
    "fourty": 40,
    "fifty": 50,
    "sixty": 60,
    "seventy": 70,
    "eighty": 80,
    "ninety": 90,
}
ZEROS = frozenset({"zero", "nought", "naught", "oh", "o", "nil"})
# "oh" opens many a sentence: these count as zero at the start of a number only.
LEADING_ZEROS = frozenset({"zero", "nought", "naught"})
SCALES = {"hundred": 100, "thousand": 1000, "million": 1_000_000, "billion": 1_000_000_000, "dozen": 12}
# "double oh four", "triple five": a digit said so many times.
REPEATS = {"double": 2, "triple": 3, "treble": 3}
POINTS = frozenset({"point", "decimal"})
# "at this point two bolts fell out": after these words "point" is no decimal point.
NOT_BEFORE_POINT = word_set("this that which some one the a an next every any pivot mounting boiling melting")

# What may stand behind decimals that only "comma" opens, for what is counted may not.
AFTER_COMMA = word_set("of mil mill mils mm millimetre millimetres millimeter millimeters bar cold hot and") | {""}

# Spoken denominators. Tenths, hundredths and thousandths are lengths in a workshop: they are units, not fractions.
DENOMINATORS = {
    "half": 2,
    "halves": 2,
    "third": 3,
    "thirds": 3,
    "quarter": 4,
    "quarters": 4,
    "fourth": 4,
    "fourths": 4,
    "fifth": 5,
    "fifths": 5,
    "sixth": 6,
    "sixths": 6,
    "eighth": 8,
    "eighths": 8,
    "eights": 8,
    "twelfth": 12,
    "twelfths": 12,
    "sixteenth": 16,
    "sixteenths": 16,
    "twentieth": 20,
}
DENOMINATOR_PAIRS = {
    ("thirty", "second"): 32,
    ("thirty", "seconds"): 32,
    ("sixty", "fourth"): 64,
    ("sixty", "fourths"): 64,
}
# Denominators that follow more than one part without an s: "three quarter inch", but never "two third gears".
SINGULAR_DENOMINATORS = frozenset({"quarter", "eighth", "sixteenth", "second", "fourth"})
# Denominators that stand alone or after "a": "half", "a quarter"; "a third" needs its "a".
LONE_DENOMINATORS = frozenset({"half", "quarter"})
BEFORE_A_PART = word_set("good full bare scant fat strong heavy light tight")
# "a couple ounces": American for "a couple of".
MEASURED_IN_COUPLES = word_set("ounces pints quarts gallons inches thousandths minutes hours pounds turns thou")
ORDINAL_LOOKALIKES = frozenset({"third", "fourth", "fifth", "sixth"})

VULGAR = {
    "½": Fraction(1, 2),
    "¼": Fraction(1, 4),
    "¾": Fraction(3, 4),
    "⅓": Fraction(1, 3),
    "⅔": Fraction(2, 3),
    "⅛": Fraction(1, 8),
    "⅜": Fraction(3, 8),
    "⅝": Fraction(5, 8),
    "⅞": Fraction(7, 8),
}

NUMBER_WORDS = frozenset({*ONES, *TEENS, *TENS, *ZEROS, *SCALES})


def says_number(word: str) -> bool:
    """Whether a bare word is one of a number's, or has a digit in it."""
    return word in NUMBER_WORDS or any(map(str.isdigit, word))
