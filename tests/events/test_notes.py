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
        ("Please, never only on the trolley jack.", ("caution", "trolley jack")),
        ("Nobody drives this until the track rod ends are in.", ("caution", "track rod end")),
        ("Stay clear of the blade while it runs down.", ("caution", "blade")),
        ("Please wear the goggles, the spring comes out like a bullet.", ("caution", "goggles")),
        ("That capacitor can kill you.", ("caution", "capacitor")),
        ("Split pin, if you forget that the castle nut walks off.", ("caution", "castle nut")),
        ("I drew the pulley off, don't wallop the crankshaft.", ("caution", "crankshaft")),
        ("Don't never run it without the guard.", ("caution", "guard")),
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
        "Nobody makes the drive belt any more.",
        "I ran the cable so that it stays clear of the exhaust.",
        "I had to wear gloves all day, it was that cold.",
        "It won't kill you to wait for the glue.",
        "It's not dangerous, the wheel holds the drum on.",
        "He rode it to Spain and never cleaned the chain once.",
        "There were two spokes broken on the drive side, that's always the side.",
    ],
)
def test_what_only_sounds_like_a_caution_or_a_tip(said: str) -> None:
    assert not _notes(said)


def test_a_warning_that_names_no_part_is_not_given_the_last_one() -> None:
    said = "I fitted the gearbox cover. Don't breathe the dust."
    assert _notes(said) == [("caution", "")]
    assert _notes("I fitted the gearbox cover. Careful with it.") == [("caution", "gearbox cover")]


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("Don't lever against the flange, you'll mark the face.", []),
        ("Never hit the pulley or you'll bend the crankshaft.", []),
        ("Nobody drives this until the drums are on and I've adjusted the brake.", []),
        # what is done anyway, and what is to be done instead
        ("Don't lever against the flange. I marked the face.", [("mark", "done")]),
        ("Nobody was about, so I removed the cover.", [("remove", "done")]),
    ],
)
def test_what_comes_of_it_is_not_told_as_work(said: str, told: list[tuple[str, str]]) -> None:
    events = finder().find(written_tokens(line_words(said)), []).events
    assert [(event.action, event.status) for event in events] == told
