"""The tools that make samples and measuring sets: mark-up of narrations, noise levels, alignment of hearings."""

import gzip
import importlib
import json
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pipeline.correct.talk import counted

ROOT = Path(__file__).resolve().parents[2]
TOOLS = ROOT / "tools"


@pytest.fixture(autouse=True)
def tools_on_the_path(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(TOOLS))


def tool(name: str) -> Any:
    return importlib.import_module(name)


def written(folder: Path, text: str) -> Path:
    path = folder / "trial.txt"
    path.write_text(text, encoding="utf-8")
    return path


NARRATION = """title: Trial
voice: flite-slt

= Oil
I put six hundred and fifty in, no, I put six hundred in. The [gudgeon pins=gudgeon pin] went
in dry.
@q volume 600 mL | I put {six hundred} in
@e fit | gudgeon pin | done | count=2 tool=soft drift with=1 | The gudgeon pins went in

= Later
The [circlip] is waiting.
@l waiting | circlip | The circlip is waiting
"""


def test_narration_is_read_with_its_facts(tmp_path: Path) -> None:
    found = tool("narration").read_narration(written(tmp_path, NARRATION))
    assert found.header == {"title": "Trial", "voice": "flite-slt"}
    assert found.terms[0] == {"term": "gudgeon pin", "said": "gudgeon pins", "start_word": 14, "end_word": 16}
    (figure,) = found.quantities
    assert found.words[figure["start_word"] : figure["end_word"]] == ["six", "hundred"]
    assert figure["start_word"] == 10, "the second time it is said"
    (event,) = found.events
    assert (event["tool"], event["count"], event["quantities"]) == ("soft drift", 2, [0])
    assert [chapter["start_word"] for chapter in found.chapters] == [0, 19]
    assert found.loose_ends[0]["part"] == "circlip"


@pytest.mark.parametrize(
    "line",
    [
        "@e fry | egg | done | | went in",
        "@q volume 6 mL | these words are elsewhere",
        "@x what | went in",
        "@l odd | a | went in",
    ],
)
def test_narration_with_a_wrong_fact_is_refused(tmp_path: Path, line: str) -> None:
    narration = tool("narration")
    with pytest.raises(narration.NarrationError, match="trial"):
        narration.read_narration(written(tmp_path, f"title: T\n\n= A\nIt went in.\n{line}\n"))


@pytest.mark.parametrize("snr_db", [0.0, 10.0, 20.0])
def test_noise_is_mixed_at_the_level_asked_for(snr_db: float) -> None:
    speak = tool("speak")
    speech = np.sin(np.arange(32_000) * 0.3).astype(np.float32)
    noise = speak.workshop(2000, np.random.default_rng(3))
    mixed = speak.mix(speech, noise, snr_db)
    # The mixture is a sum of two known signals: solve for their gains and compare their powers.
    gains, *_ = np.linalg.lstsq(np.stack([speech, noise], axis=1), mixed, rcond=None)
    ratio = gains[0] ** 2 * speak.power(speech) / (gains[1] ** 2 * np.mean(noise**2))
    assert 10 * np.log10(ratio) == pytest.approx(snr_db, abs=0.05)


def test_resampling_keeps_a_tone() -> None:
    speak = tool("speak")
    tone = np.sin(2 * np.pi * 440 * np.arange(22_050) / 22_050).astype(np.float32)
    found = speak.resample(tone, 22_050)
    assert len(found) == 16_000
    assert np.abs(np.fft.rfft(found)).argmax() == 440


@pytest.mark.parametrize(
    ("heard", "place"),
    [
        ("fit the good gin pin now", "good gin pin"),
        ("fit the gudgeon pin now", "gudgeon pin"),
        ("fit the now", ""),
        ("fit a gun on bin now", None),
        ("fit the gun on bin", None),
    ],
)
def test_hearing_is_what_stands_between_the_neighbours(heard: str, place: str | None) -> None:
    words = heard.split()
    span = tool("heard_terms").heard_instead("Fit the gudgeon pin now.", "gudgeon pin", words)
    assert (None if span is None else " ".join(words[span[0] : span[1]])) == place


def test_voices_carriers_and_terms_are_kept_apart() -> None:
    mine = tool("mine_hearings")
    for what in (mine.VOICES, mine.CARRIERS, mine.ACTION_CARRIERS):
        groups = [set(group) for group in what.values()]
        assert sum(map(len, groups)) == len(set().union(*groups))
    assert set(mine.VOICES["mine"]).isdisjoint(tool("hear_narrations").VOICES["test"])


def test_no_mined_hearing_is_of_a_held_out_term() -> None:
    from pipeline.vocabulary import load_vocabulary
    from pipeline.vocabulary.hearings import shipped_hearings

    mine = tool("heard_terms")
    held_out = {
        spelling
        for term in load_vocabulary().terms
        if mine.bucket(term.name) in mine.HELD_OUT.values()
        for spelling in term.spellings
    }
    assert len(held_out) > 1000
    assert not held_out & set(shipped_hearings())


@pytest.mark.parametrize("name", ["dev", "test"])
def test_measuring_sets_have_what_the_rule_asks_for(name: str) -> None:
    path = Path(__file__).parent / f"narrations_{name}.jsonl.gz"
    rows = [json.loads(line) for line in gzip.decompress(path.read_bytes()).splitlines()]
    assert len({row["gold"]["voice"] for row in rows}) >= 4
    assert {row["gold"]["snr_db"] for row in rows} == {None, 20.0, 10.0}
    assert sum(len(row["gold"]["terms"]) for row in rows) >= 300
    for row in rows:
        source = TOOLS / "narrations" / name / f"{row['gold']['name']}.txt"
        narration = tool("narration").read_narration(source)
        assert row["gold"]["reference"] == " ".join(narration.words)
        assert [event["part"] for event in row["gold"]["events"]] == [event["part"] for event in narration.events]


def test_dev_and_test_narrations_share_no_sentence() -> None:
    def sentences(folder: str) -> set[str]:
        narration = tool("narration")
        found = [narration.read_narration(path) for path in (TOOLS / "narrations" / folder).glob("*.txt")]
        return {text for item in found for kind, value in item.pieces if kind == "speech" for text in [value[0]]}

    assert not {text for text in sentences("dev") & sentences("test") if len(text.split()) > 3}


def teardown_module() -> None:
    for name in ("narration", "speak", "heard_terms", "mine_hearings", "hear_narrations"):
        sys.modules.pop(name, None)


# The token of a piece's start, in the vocabulary of Whisper (its tokenizer, MIT); each next one is 20 ms later.
START_OF_PIECE = 50364
WORDS_OF_TOKENS = {
    1: " Then",
    2: " the",
    3: " gun",
    4: " on",
    5: " pin",
    6: " took",
    7: " 8",
    8: " newton",
    9: " metres.",
}


def _target(tokens: list[int], said: str) -> str | None:
    """What would be learned, times as <0.00>, from made-up tokens; each word is said half a second after the last."""

    def decode(text: list[int]) -> str:
        return "".join(WORDS_OF_TOKENS[token] for token in text)

    made: list[str] = []

    def encode(text: str) -> list[int]:
        made.append(text)
        return [-len(made)]

    timed = [(word, 0.5 * number) for number, word in enumerate(said.split())]
    found = tool("adapt_targets").target(tokens, timed, decode, encode)
    if found is None:
        return None
    return "".join(
        made[-token - 1] if token < 0 else f"<{(token - START_OF_PIECE) * 0.02:.2f}>" for token in found.tokens
    )


def test_what_was_said_takes_the_place_of_what_was_heard_and_times_and_figures_stay() -> None:
    heard = [
        START_OF_PIECE,
        1,
        2,
        3,
        4,
        5,
        START_OF_PIECE + 125,
        START_OF_PIECE + 125,
        6,
        7,
        8,
        9,
        START_OF_PIECE + 250,
    ]
    said = "Then the gudgeon pin took eight newton metres."
    assert _target(heard, said) == "<0.00> Then the gudgeon pin<2.50><2.50> took 8 newton metres.<5.00>"


def test_words_cut_off_at_the_end_are_left_for_the_next_piece() -> None:
    heard = [START_OF_PIECE, 1, 2, 3, 4, 5, START_OF_PIECE + 100, START_OF_PIECE + 100]
    said = "Then the gun on pin which I had cleaned before"
    assert _target(heard, said) == "<0.00> Then the gun on pin<2.00><2.00>"


def test_a_piece_that_was_not_understood_is_left_out() -> None:
    assert (
        _target([START_OF_PIECE, 1, 2, 3, START_OF_PIECE + 100], "Something else entirely was said about bearings")
        is None
    )


def test_mixed_additions_are_packed_with_little_loss() -> None:
    rng = np.random.default_rng(7)
    shapes = {"up": (12, 3), "down": (3, 8)}
    learned = [{f"a:{part}": rng.normal(size=shape) for part, shape in shapes.items()} for _ in range(2)]
    packed = tool("adapt_pack").pack([(learned[0], 0.4), (learned[1], 0.5)])
    wanted = sum(share * one["a:up"] @ one["a:down"] for one, share in zip(learned, (0.4, 0.5), strict=True))
    made = (packed["a:up"] * packed["a:scale"]) @ packed["a:down"].astype(float)
    assert np.linalg.norm(made - wanted) < 0.02 * np.linalg.norm(wanted)


def test_workshop_talk_was_counted_in_nearly_all_narrations() -> None:
    """After new ones: python tools/count_talk.py, then fit the weights of correction again."""
    said = sum("the" in words for words in tool("count_talk").spoken().values())
    assert 0.9 * said <= counted()["the"] <= said
