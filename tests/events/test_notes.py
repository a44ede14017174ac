"""Cautions and tips, and what only sounds like one."""

import pytest

from pipeline.tokens import line_words, written_tokens
from tests.events.scoring import finder


def _notes(said: str) -> list[tuple[str, str]]:
    notes = finder().find(written_tokens(line_words(said)), []).notes
    return [(note.kind, note.part) for note in notes]


@pytest.mark.parametrize(
    ("said", "note"),
    [
        ("Take care with the circlip, it flies out.", ("caution", "circlip")),
        ("Never reuse the crush washer.", ("caution", "crush washer")),
        ("Don't forget the gasket.", ("caution", "gasket")),
        ("Don't tighten the clamp bolt till it's in, otherwise it'll bind.", ("caution", "clamp bolt")),
        ("Top tip, warm the case before you fit the bearing.", ("tip", "case")),
        ("Tip, warm the seal in hot water first.", ("tip", "seal")),
        (
            "Always let it down before you touch the great wheel, it'll have your finger off.",
            ("caution", "great wheel"),
        ),
        ("The lid is on a spring and it bites your knuckles.", ("caution", "spring")),
        ("Always oil the threads before you torque the head bolts.", ("tip", "thread")),
    ],
)
def test_what_is_to_be_minded(said: str, note: tuple[str, str]) -> None:
    assert _notes(said) == [note]


@pytest.mark.parametrize(
    "said",
    [
        "Till then, take care.",
        "Never mind the mess on the bench.",
        "Don't be writing to me about the taper.",
        "Don't forget, I forgot so I opened it again.",
        "Somebody had the gib way too loose.",
        "First the trailer and then the van, because otherwise I'll forget.",
        "I changed the seal at the tip and put grease on the thread.",
        "The needle's tip is bent so I stoned it.",
        "With the lid propped you can have your hands free for the hose.",
        "Always the same story, he never pays.",
        "There were two spokes broken on the drive side, that's always the side.",
    ],
)
def test_what_only_sounds_like_a_caution_or_a_tip(said: str) -> None:
    assert not _notes(said)
