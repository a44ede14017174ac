"""The reader network: its windows, its word pieces, and plain sentences of which nobody can doubt what they tell."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.reader import load_reader
from pipeline.reader.network import LENGTH, windows
from pipeline.reader.pieces import DATA, load_pieces, one_session
from pipeline.reader.reading import ACTIONS, FIGURE_EVENT, FIGURE_OWNER, KINDS, STATUSES, VERB_PART, Reading


def read(line: str) -> tuple[list[str], Reading]:
    words = line.split()
    reading = load_reader().read(words)
    assert reading is not None
    return words, reading


def test_a_network_takes_no_more_threads_than_it_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("OMP_NUM_THREADS", "1")
    assert one_session(DATA / "third_look.onnx").get_session_options().intra_op_num_threads == 1
    monkeypatch.setenv("OMP_NUM_THREADS", "4,2")  # nested, as OpenMP allows: not for this library
    assert one_session(DATA / "third_look.onnx").get_session_options().intra_op_num_threads >= 1


def test_a_network_adds_up_alike_on_every_processor() -> None:
    """ONNX Runtime's setting for x86 processors without VNNI, which else cut off large sums of 8-bit products."""
    options = one_session(DATA / "third_look.onnx").get_session_options()
    assert options.get_session_config_entry("session.x64quantprecision") == "1"


@given(st.lists(st.integers(1, 9), min_size=1, max_size=900))
def test_windows_read_each_word_once_and_none_is_too_long(lengths: list[int]) -> None:
    first = [0, *np.cumsum(lengths).tolist()]
    pieces = first.pop()
    found = windows(first, pieces)
    assert [word for _, _, low, high in found for word in range(low, high)] == list(range(len(lengths)))
    for start, stop, low, high in found:
        assert start <= low < high <= stop
        assert (first[stop] if stop < len(first) else pieces) - first[start] <= LENGTH


@given(st.text(alphabet="abcdefghijklmnopqrstuvwxyz", min_size=1, max_size=30))
def test_word_pieces_spell_the_word(word: str) -> None:
    pieces = load_pieces().tokenizer.encode(word, add_special_tokens=False).tokens
    assert "".join(piece.removeprefix("##") for piece in pieces) == word


def test_every_word_has_its_first_piece_and_each_piece_a_vector() -> None:
    first, pieces = load_pieces().of_words(["gudgeon", "", "pin", "x" * 500])
    assert first[0] == 0 and first == sorted(set(first)) and len(first) == 4
    vectors = load_pieces().vectors(pieces)
    assert vectors.shape == (len(pieces), 384) and np.abs(vectors).max() > 0


def test_every_word_gets_its_scores() -> None:
    words, reading = read("So the new oil seal went in, and I nipped up the drain plug. " * 60)
    assert reading.actions.shape == (len(words), 1 + len(ACTIONS))
    assert reading.statuses.shape == (len(words), len(STATUSES))
    assert reading.ends.shape == (len(words), 1 + len(KINDS))
    assert np.isfinite(reading.actions).all()
    assert load_reader().read([]) is None


@pytest.mark.parametrize(
    ("said", "verb", "action", "part", "status"),
    [
        ("I fitted a new oil seal behind the sprocket this morning.", "fitted", "fit", "seal", "done"),
        ("I've cleaned the carburettor out with spirit.", "cleaned", "clean", "carburettor", "done"),
        ("Tomorrow I'll drain the gearbox into that tray.", "drain", "drain", "gearbox", "planned"),
    ],
)
def test_a_plain_sentence_is_read(said: str, verb: str, action: str, part: str, status: str) -> None:
    words, reading = read(said)
    at = words.index(verb)
    assert reading.telling([at])[1] == action and reading.telling([at])[2] > 0
    assert reading.status(at)[0] == status
    scores = [reading.pairs.score(VERB_PART, at, other) for other in range(len(words))]
    assert words[int(np.argmax(scores))].strip(".") == part


def test_talk_of_nothing_tells_nothing() -> None:
    words, reading = read(
        "It rained all night and the cat slept on the radiator while I had my tea and read the paper."
    )
    assert reading.telling(range(len(words)))[2] < 0


def test_odd_words_do_no_harm() -> None:
    _, reading = read("水 ½ " + "x" * 5000 + " --- … 25Nm ##ing [SEP] [MASK]")
    assert np.isfinite(reading.actions).all()


def test_scores_around_a_word_are_those_of_its_pairs() -> None:
    words, reading = read("I took the left caliper off and cleaned it with a wire brush")
    around = reading.pairs.around(VERB_PART, 1, 0, len(words))
    assert [round(float(score), 3) for score in around] == [
        round(reading.pairs.score(VERB_PART, 1, at), 3) for at in range(len(words))
    ]
    assert int(around.argmax()) == words.index("caliper")


@pytest.mark.parametrize(
    ("said", "number", "kind"),
    [
        ("torqued the head nuts to twenty four and then went round again", 5, "torque"),
        ("the battery was reading twelve with the lights on", 4, "voltage"),
        ("put thirty two in the front tyre and thirty six in the back", 1, "pressure"),
        ("my brother was born in nineteen sixty two", 5, ""),
    ],
)
def test_a_number_is_read_by_the_words_around_it(said: str, number: int, kind: str) -> None:
    _, reading = read(said)
    kinds = reading.figure([number])
    assert abs(sum(kinds.values()) - 1) < 1e-4
    assert max(kinds, key=kinds.__getitem__) == kind


@pytest.mark.parametrize(
    ("said", "figure", "owner", "verb"),
    [
        ("The drain plug is back in and that's done up to 25 Nm.", "25", "plug", "done"),
        ("I poured 600 cc of gear oil into the gearbox.", "600", "oil", "poured"),
        ("I undid the spindle nut with a 30 mm socket and then cleaned the threads.", "30", "nut", "undid"),
    ],
)
def test_figures_point_at_what_they_belong_to(said: str, figure: str, owner: str, verb: str) -> None:
    words, reading = read(said)
    at = words.index(figure)
    for role, wanted in ((FIGURE_OWNER, owner), (FIGURE_EVENT, verb)):
        scores = [reading.pairs.score(role, at, other) for other in range(len(words))]
        assert words[int(np.argmax(scores))].strip(".") == wanted, role
