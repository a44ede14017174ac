"""Harm: ordinary English, with every pack loaded, comes back as it was. The text is public domain (its first line)."""

import gzip
from pathlib import Path

from pipeline.correct import correct, load_matcher
from pipeline.tokens import line_words

SPEECHES = Path(__file__).resolve().parents[1] / "corpus" / "english_speeches.txt.gz"


def test_general_english_is_left_alone() -> None:
    """At most 0.2 silent changes and 2 questions in a thousand words."""
    lines = gzip.decompress(SPEECHES.read_bytes()).decode().splitlines()[1:]
    matcher = load_matcher()
    words, changes, questions = 0, [], []
    for at in range(0, len(lines), 50):
        block = line_words(" ".join(lines[at : at + 50]))
        words += len(block)
        for corr in correct(block, matcher):
            found = f"{corr.heard!r} -> {corr.written!r}"
            if corr.decision == "auto":
                changes.append(found)
            elif corr.decision == "ask":
                questions.append(found)
    print(f"{words} words: {len(changes)} changed silently, {len(questions)} asked")
    assert words > 20_000
    assert len(changes) <= 0.2 * words / 1000, changes
    assert len(questions) <= 2 * words / 1000, questions
