"""What must hold for any text at all."""

from __future__ import annotations

from hypothesis import example, given, settings
from hypothesis import strategies as st

from pipeline.numbers import speak_number
from pipeline.quantities import attach_quantities, check_quantities, customary, find_quantities, format_quantity
from pipeline.records import Correction, Settings
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import load_vocabulary
from tests.quantities.scoring import Key, found_in, key_of, read_corpus, unpunctuated

VOCABULARY = load_vocabulary()
ODD = 'to and a of the no, point hundred M x / - ° " ² ٣ ½ 0/0 1111111111111111111111111111'
WORDS = st.sampled_from(
    sorted({word for case in read_corpus("quantities.toml")[0] for word in case.say.split()} | {*ODD.split()})
)


@settings(max_examples=300, deadline=None)
@given(st.lists(WORDS, max_size=25))
@example(["Torque", "gaskets", "hundred", "2.5:1"])  # a gasket has no torque, and what is left is numbered anew
def test_workshop_words_in_any_order_raise_nothing(words: list[str]) -> None:
    line = " ".join(words)
    tokens = written_tokens(line_words(line))
    quantities = attach_quantities(find_quantities(tokens, Settings()), tokens, VOCABULARY)
    for finding in check_quantities(quantities, Settings(), tokens):
        assert finding.message
    for place, qty in enumerate(quantities, 1):
        assert qty.id == f"q{place}"
        assert 0 <= qty.start_word < qty.end_word <= len(tokens)
        assert qty.said == " ".join(token.text for token in tokens[qty.start_word : qty.end_word])
        assert qty.high is None or qty.kind == "viscosity" or qty.value < qty.high
        assert format_quantity(qty)
        customary(qty)


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=80))
def test_any_text_raises_nothing(text: str) -> None:
    found_in(text)


@settings(max_examples=200, deadline=None)
@given(st.integers(1, 9999), st.sampled_from(["newton metres", "millimetres", "psi", "rpm", "grams", "millilitres"]))
def test_a_spoken_whole_number_with_a_unit_is_read_back(value: int, unit: str) -> None:
    (qty,) = found_in(f"set it to {speak_number(value)} {unit} now")
    assert qty.value == value


@settings(max_examples=200, deadline=None)
@given(st.integers(1, 99_999), st.integers(1, 3))
def test_a_spoken_decimal_with_a_unit_is_read_back(digits: int, places: int) -> None:
    value = digits / 10**places
    (qty,) = found_in(f"it came to {speak_number(value)} millimetres")
    assert qty.value == value


def keys(line: str) -> list[Key]:
    return [key_of(qty) for qty in found_in(line)]


def test_punctuation_changes_next_to_nothing() -> None:
    """Where it does change something no rule can help: "a big one, twenty four mil" without its comma is 124."""
    cases = [case for name in ("quantities.toml", "quantities_test.toml") for case in read_corpus(name)[0]]
    changed = [case.say for case in cases if keys(case.say) != keys(unpunctuated(case.say))]
    assert len(changed) <= 0.005 * len(cases), changed


def test_word_indexes_are_those_of_the_words_as_heard() -> None:
    words = line_words("put the good gin pin in and twenty five newton mirrors on it")
    garble = Correction(2, 5, "good gin pin", "gudgeon pin", 0.99, "auto", "")
    unit = Correction(9, 11, "newton mirrors", "newton metres", 0.99, "auto", "")
    (qty,) = find_quantities(written_tokens(words, [garble, unit]), Settings())
    assert (qty.start_word, qty.end_word, qty.start_ms) == (7, 11, 7 * 400)
    assert qty.said == "twenty five newton metres"
