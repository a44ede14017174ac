"""How slow the machine is just now: limits on time are for the program, not for what shares a core with it."""

from __future__ import annotations

import time

# What the loop takes on an idle core of a desktop processor of about 2020.
_REFERENCE_S = 0.07
_TURNS = 1_000_000


def slowness() -> float:
    """Processor time of a fixed loop over what it takes on the reference machine; never below 1."""
    begun, total = time.process_time(), 0
    for number in range(_TURNS):
        total += number * number % 7
    assert total
    return max(1.0, (time.process_time() - begun) / _REFERENCE_S)
