"""Damaged files: either one sentence, or words in order of time. Never a traceback."""

from __future__ import annotations

import itertools
import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.errors import WitnessmarkError
from pipeline.transcripts import READERS, read_transcript

WORDS = [{"word": text, "start": n * 0.4, "end": n * 0.4 + 0.3} for n, text in enumerate(["the", "cam", "is", "in"])]
SOUND = {
    ".vtt": b"WEBVTT\n\nNOTE x\n\n1\n00:01.000 --> 00:02.000 line:0\n<v A>the<00:01.500> cam &amp; shoe\n\n"
    b"00:02.000 --> 00:03.000\nthe cam & shoe\ngoes on\n",
    ".srt": b"1\n00:00:01,000 --> 00:00:02,000\nthe <i>cam</i>\n\n2\n00:00:02,500 --> 00:00:04,000\nis in\n",
    ".txt": b"[0:01] the cam [0:04] is in\n[1:00:02] and done\n",
    ".json": json.dumps({"segments": [{"start": 0, "end": 2, "text": "the cam is in", "words": WORDS}]}).encode(),
}


def check(path: Path) -> None:
    try:
        transcript, findings = read_transcript(path)
    except WitnessmarkError as error:
        assert "\n" not in str(error)
        assert str(path) in str(error)
        return
    words = transcript.words
    assert words
    assert all(word.text and not any(c.isspace() for c in word.text) for word in words)
    assert all(0 <= word.start_ms <= word.end_ms for word in words)
    assert all(a.end_ms <= b.start_ms for a, b in itertools.pairwise(words))
    assert all(0 <= word.probability <= 1 for word in words)
    starts = transcript.segment_starts
    assert list(starts) == sorted(set(starts))
    assert all(0 <= start < len(words) for start in starts)
    assert all(finding.message and finding.level in ("note", "check", "caution") for finding in findings)


@pytest.mark.parametrize("suffix", sorted(READERS))
@settings(max_examples=150, deadline=None)
@given(data=st.data())
def test_mutations(tmp_path_factory: pytest.TempPathFactory, suffix: str, data: st.DataObject) -> None:
    content = bytearray(SOUND[suffix])
    for _ in range(data.draw(st.integers(0, 6))):
        at = data.draw(st.integers(0, max(0, len(content) - 1)))
        kind = data.draw(st.sampled_from(["cut", "drop", "double", "byte"]))
        if kind == "cut":
            del content[at:]
        elif kind == "drop":
            del content[at : at + data.draw(st.integers(1, 9))]
        elif kind == "double":
            content[at:at] = content[at : at + data.draw(st.integers(1, 30))]
        else:
            content[at : at + 1] = data.draw(st.binary(min_size=1, max_size=3))
    path = tmp_path_factory.getbasetemp() / f"mutated{suffix}"
    path.write_bytes(bytes(content))
    check(path)


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-10, 10**7) | st.floats() | st.sampled_from(["cam", "0:05", "", "a b"]),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.sampled_from(["words", "segments", "start", "end", "word", "text", "probability"]), inner)
    ),
    max_leaves=20,
)


@settings(max_examples=200, deadline=None)
@given(VALUES)
def test_any_json(tmp_path_factory: pytest.TempPathFactory, value: object) -> None:
    path = tmp_path_factory.getbasetemp() / "any.json"
    path.write_text(json.dumps(value))
    check(path)
