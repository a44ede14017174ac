"""The stage on nine seconds of real speech: with the model's recorded answers, and with the model itself (slow)."""

import pytest

from pipeline.hearing import SpeechModel, default_model, read_sound
from pipeline.records import Word
from pipeline.second_hearing import SecondHearing
from pipeline.second_hearing.teen_ty import shipped_probe

from .clip import CLIP, HEARD, SAID, RecordedEars, hear_clip_again, words_heard

MADE_UP = "thanks for watching"


def check(second: SecondHearing) -> None:
    doubt = second.doubts[0]
    assert (doubt.heard, doubt.others[0]) == (50.0, 15.0)
    assert any(finding.message.startswith("50 or 15 ") for finding in second.findings)
    written = {corr.heard: corr for corr in second.corrections}
    assert written["though."].written == "thou."
    # neither has ever been said in the clip, and the sound says so
    assert all(corr.term not in ("grease gun", "drain plug") for corr in second.corrections)


def test_recorded_answers_of_the_model() -> None:
    check(hear_clip_again(RecordedEars()))


def test_what_was_seeded_into_the_clip() -> None:
    differ = [(said, heard) for said, heard in zip(SAID.split(), HEARD.split(), strict=True) if said != heard]
    assert differ == [("fifteen", "50"), ("grub", "grout"), ("thou.", "though.")]


@pytest.mark.model
def test_the_model_itself() -> None:
    model = SpeechModel(default_model())
    check(hear_clip_again(model))
    assert model.encoder == shipped_probe().encoder
    # text that nobody said, dated into the pause between the two sentences
    words = words_heard()
    place = SAID.split().index("It")
    pause_ms = words[place - 1].end_ms
    made_up = [Word(text, pause_ms + i * 100, pause_ms + i * 100 + 90, 0.2) for i, text in enumerate(MADE_UP.split())]
    second = hear_clip_again(model, (*words[:place], *made_up, *words[place:]))
    assert any(finding.rule == "unsupported_text" and MADE_UP in finding.message for finding in second.findings)
    sound, _ = read_sound(CLIP)
    said, heard = model.force(model.encode_short(sound.samples), [SAID, HEARD])
    assert sum(word.log_probability for word in said) > sum(word.log_probability for word in heard) + 3
    assert [word.text for word in said] == SAID.split()
    assert all(0 <= word.start_ms <= word.end_ms <= sound.duration_ms for word in said)
    # the first sentence ends and the second begins around 7 s
    it = said[SAID.split().index("It")]
    assert 6_000 < it.start_ms < 8_500
