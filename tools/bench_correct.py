"""How long correction takes, by the number of terms: an hour of speech (9,000 words) against 300, 3,000 and 30,000.

    python tools/bench_correct.py

Seconds of processor time on one core. Words: the narrations of the development set, one after the other. Terms: the
shipped vocabulary; above its size, made-up terms of two of its words each.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import time
from dataclasses import replace

SIZES = (300, 3_000, 30_000)
WORDS = 9_000


def one_size(size: int) -> dict[str, float]:
    """Loading and correcting against `size` terms, in this very process."""
    from heard_sets import narrations, smaller

    from pipeline.correct import build_matcher, correct
    from pipeline.vocabulary import load_vocabulary, shipped_hearings

    begun = time.process_time()
    vocabulary, hearings = load_vocabulary(), shipped_hearings()
    read = time.process_time() - begun
    terms = list(vocabulary.terms)
    rng = random.Random(4)
    rng.shuffle(terms)
    firsts = sorted({term.name.split()[0] for term in terms})
    lasts = sorted({term.name.split()[-1] for term in terms})
    names = {term.name for term in terms}
    while len(terms) < size:
        name = f"{rng.choice(firsts)} {rng.choice(lasts)}"
        if name not in names:
            names.add(name)
            terms.append(replace(terms[0], name=name, spellings=(name,), american="", plural=name + "s"))
    begun = time.process_time()
    matcher = build_matcher(smaller(vocabulary, terms[:size]), hearings)
    built = time.process_time() - begun
    words = [word for text in narrations("dev") for word in text.words][:WORDS]
    correct(words[:200], matcher)
    begun = time.process_time()
    found = correct(words, matcher)
    took = time.process_time() - begun
    return {
        "terms": size,
        "forms": len(matcher.forms),
        "read_all_packs_s": read,
        "build_s": built,
        "correct_s": took,
        "corrections": len(found),
    }


def main() -> None:
    if len(sys.argv) > 1:
        print(json.dumps(one_size(int(sys.argv[1]))))
        return
    threads = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1")
    print("   terms   forms   build s   9,000 words s   corrections")
    for size in SIZES:
        call = [sys.executable, __file__, str(size)]
        output = subprocess.run(call, check=True, capture_output=True, text=True, env=os.environ | threads).stdout
        row = json.loads(output)
        print(
            f"{row['terms']:8,}{row['forms']:8,}{row['build_s']:10.2f}{row['correct_s']:16.2f}{row['corrections']:14}"
        )


if __name__ == "__main__":
    main()
