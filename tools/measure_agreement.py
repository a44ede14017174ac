"""How far two people agree on the facts of the same narrations, and how the program stands beside both.

    python tools/measure_agreement.py tools/narrations/unseen2 tools/narrations/unseen3

Each folder has the narrations with the facts of its author, and in `second/` the same words with the facts of somebody
who did not see the first and had the same rules. No program can be expected to agree with one of them much better than
the other one does. Printed for each kind of fact: how far the two agree; the program against each; how much of what
both have it finds; and how much of what it finds stands in either. As written, counts behind each figure.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from event_examples import read_gold
from measure_facts import Facts, found_facts, gold_facts

from pipeline.tokens import line_words

KINDS = ("events", "condition", "side+position", "loose ends")
Counts = tuple[int, int, int]


def counts(first: Facts, second: Facts, kind: str) -> Counts:
    """What both have, and how many facts each has."""
    one, other = Counter(first[kind]), Counter(second[kind])
    return (one & other).total(), one.total(), other.total()


def f1(rows: Iterable[Counts]) -> str:
    both, one, other = (sum(column) for column in zip(*rows, strict=True))
    return f"F1 {2 * both / max(1, one + other):.3f} ({both}/{one}/{other})"


def share(rows: Iterable[tuple[int, int]]) -> str:
    part, whole = (sum(column) for column in zip(*rows, strict=True))
    return f"{part / max(1, whole):.3f} ({part} of {whole})"


def measure(folder: Path) -> None:
    triples = []
    for path in sorted(folder.glob("*.txt")):
        gold, second = read_gold(path), read_gold(folder / "second" / path.name)
        found, _ = found_facts(line_words(gold["reference"]), (), gold)
        triples.append((gold_facts(gold), gold_facts(second), found))
    print(f"{folder.name}, {len(triples)} narrations")
    for kind in KINDS:
        agreed = [(Counter(a[kind]) & Counter(b[kind]), Counter(a[kind]) | Counter(b[kind])) for a, b, _ in triples]
        ours = [Counter(found[kind]) for _, _, found in triples]
        print(f"  {kind}")
        print(f"    two people            {f1(counts(a, b, kind) for a, b, _ in triples)}")
        print(f"    program, the author   {f1(counts(found, a, kind) for a, _, found in triples)}")
        print(f"    program, the second   {f1(counts(found, b, kind) for _, b, found in triples)}")
        rows = [*zip(agreed, ours, strict=True)]
        print(f"    found of both         {share(((own & both).total(), both.total()) for (both, _), own in rows)}")
        print(f"    in either of found    {share(((own & any_).total(), own.total()) for (_, any_), own in rows)}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", nargs="+", type=Path)
    for each in parser.parse_args().folders:
        measure(each)
