"""Words with times as a recogniser would date them, from plain text: for tests that need no sound."""

from __future__ import annotations

import random
import re

from pipeline.records import Word

TALK = """
Right, so this is the Penhallow again, and the back wheel is out. The spindle nut was seized, so I soaked it overnight
and then it came off with a thirty millimetre socket and a long bar. Now, the brake plate. There are two shoes, a cam,
two springs and a lever on the outside, and every one of them has been off this week. The shoes are new. The springs
are original, they measured sixty two millimetres hook to hook and that is as near as makes no difference.

What I do is put the cam in first. It gets the thinnest smear of grease, nothing that could reach the linings. Then you
hook the springs on with the shoes folded like this, push down, and they snap over. Mind your fingers. Don't lever them
over with a screwdriver because you will mark the lining and sooner or later it cracks there.

Okay so the lever goes on the splines where the dot is, and the pinch bolt is done up to between eight and ten newton
metres. I've put nine on it. The cable I'm leaving until the wheel is in. Where was I? The torque arm, yes. That's only
finger tight at the moment, twenty five newton metres eventually, with a new split pin through the castle nut.

Oil next. It takes six hundred and fifty millilitres of eighty weight gear oil through the filler hole, one and a half
turns on the level screw, wait until it stops dripping, and close it again. I have put six hundred in so far. It wants
a quarter of a litre more once the seal is in. No. Sorry. Fifty millilitres more. Six hundred and fifty altogether.
"""


def speak(text: str, words_per_minute: float = 165, seed: int = 0, punctuated: bool = True) -> list[Word]:
    """Words of the text. Pauses follow punctuation; a paragraph ends with a long one; a few fall inside clauses."""
    rng = random.Random(seed)
    clock = 400.0
    words: list[Word] = []
    for paragraph in re.split(r"\n\s*\n", text.strip()):
        texts = paragraph.split()
        for place, shown in enumerate(texts):
            letters = 0.45 + 0.55 * len(shown) / 4.6
            length = 60_000 / words_per_minute * 0.86 * letters * rng.uniform(0.8, 1.2)
            plain = shown if punctuated else shown.rstrip(".,;:?!").lower()
            words.append(Word(plain, round(clock), round(clock + length), 0.9))
            clock += length
            if place == len(texts) - 1:
                clock += rng.uniform(800, 3500)
            elif shown.endswith((".", "?", "!")):
                clock += rng.uniform(200, 900)
            elif shown.endswith((",", ";", ":")):
                clock += rng.uniform(0, 350)
            elif rng.random() < 0.02:
                clock += rng.uniform(200, 1200)
    return words
