"""Mines what was heard instead of terms in whole narrations to tune on, and writes `vocab/hearings/narrated.toml`.

    python tools/mine_narrations.py

Terms come far more often in narrations than in the carrier sentences of `mine_hearings.py`, and in running speech. Left
out is what has no likeness to the term by its sounds, and so was misaligned; and the terms and voices that are held out
for measuring.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping

import numpy as np
from heard_sets import ROOT, Text, garbled_mentions, narrations
from heard_terms import COMMON, HELD_OUT, bare, bucket, write_hearings
from mine_hearings import VOICES

from pipeline.correct.forms import ways_to_say
from pipeline.correct.language import english
from pipeline.correct.matcher import Matcher, build_matcher
from pipeline.correct.sounds import padded
from pipeline.correct.strip import WIDTH
from pipeline.correct.vectors import heard_vectors, said_vectors
from pipeline.vocabulary import load_vocabulary

LEAST_ALIKE, MORE_WORDS = 0.4, 2


def narrated(texts: Iterable[Text], matcher: Matcher) -> dict[str, Counter[str]]:
    """Spelling of a term -> what was heard instead -> how often."""
    counts: dict[str, Counter[str]] = defaultdict(Counter)
    for text in texts:
        if text.voice in (*VOICES["dev"], *VOICES["test"]):
            continue
        for start, end, form in garbled_mentions(text, matcher):
            garble = [piece for word in text.words[start:end] for piece in bare(word.text)]
            own = matcher.forms[form]
            held_out = bucket(matcher.terms[own.term].name) in HELD_OUT.values()
            if 0 < len(garble) <= len(own.words) + MORE_WORDS and not held_out:
                counts[own.text][" ".join(garble)] += 1
    return {spelling: kept for spelling, found in counts.items() if (kept := _alike(spelling, found, matcher))}


def _alike(spelling: str, found: Mapping[str, int], matcher: Matcher) -> Counter[str]:
    """Without what does not sound like the term, is a term itself, or is a common word that was heard once."""
    said = ways_to_say(bare(spelling))
    kept: Counter[str] = Counter()
    for garble, count in found.items():
        heard = ways_to_say(garble.split())
        common = count == 1 and " " not in garble and english().frequency(garble) >= COMMON
        if not said or not heard or common or garble.replace(" ", "") in matcher.joined or "," in garble:
            continue
        alike = said_vectors(padded(said, WIDTH)) @ heard_vectors(padded(heard, WIDTH)).T
        if float(np.max(alike)) >= LEAST_ALIKE:
            kept[garble] = count
    return kept


def main() -> None:
    matcher = build_matcher(load_vocabulary())
    texts = narrations("each") + narrations("left_out")
    found = narrated(texts, matcher)
    voices = sorted({text.voice for text in texts} - {*VOICES["dev"], *VOICES["test"]})
    write_hearings({"narrated": found}, voices, ROOT / "vocab" / "hearings", "tools/mine_narrations.py")
    print(f"{sum(map(len, found.values()))} garbles of {len(found)} spellings")


if __name__ == "__main__":
    main()
