"""Where chapters are cut and what they are called."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.captions import captions_vtt, find_cues
from pipeline.chapters import chapter_findings, find_chapters, find_terms
from pipeline.chapters.titles import find_titles
from pipeline.chapters.units import cut_utterances
from pipeline.chapters.words import topic_words, turns
from pipeline.events import find_events
from pipeline.records import Chapter, Correction, Word
from pipeline.times import ms_to_clock
from pipeline.tokens import bare, line_words, written_tokens
from pipeline.transcripts import read_transcript
from pipeline.vocabulary import Vocabulary, load_vocabulary
from tests.chapters.narrations import Spoken, read_narrations, say, spoken_set
from tests.chapters.scores import Agreement, agreement

VOCABULARY = load_vocabulary()
NOTHING = Vocabulary((), {}, {})


def chapters_of(
    spoken: Spoken, vocabulary: Vocabulary = VOCABULARY, with_events: bool = False, **options: int
) -> list[Chapter]:
    tokens = written_tokens(spoken.words)
    events = find_events(tokens, (), vocabulary).events if with_events else ()
    return find_chapters(
        spoken.words,
        tokens,
        events,
        vocabulary,
        spoken.duration_ms,
        segment_starts=spoken.segment_starts,
        **options,  # type: ignore[arg-type]
    )


@pytest.mark.parametrize(
    ("which", "least_f1", "most_pk"),
    [
        # Held-out narrations first: these figures are reported.
        ("own_test", 0.78, 0.20),
        ("heard_test", 0.82, 0.15),
        ("facts_test", 0.58, 0.33),
        ("own_dev", 0.80, 0.20),
        ("heard_samples", 0.75, 0.25),
    ],
)
def test_boundaries_agree_with_the_writer(which: str, least_f1: float, most_pk: float) -> None:
    """`python tools/measure_chapters.py` prints all figures."""
    total = Agreement()
    for spoken in spoken_set(which):
        found = [chapter.start_ms for chapter in chapters_of(spoken)]
        total += agreement(found[1:], spoken.gold_ms, spoken.duration_ms)
    assert total.f1 >= least_f1, str(total)
    assert total.pk <= most_pk, str(total)


def test_even_cuts_would_not_do() -> None:
    """The measure tells good cuts from the same number of cuts at even distances."""
    ours, even = Agreement(), Agreement()
    for spoken in spoken_set("own_test"):
        found = [chapter.start_ms for chapter in chapters_of(spoken)][1:]
        step = spoken.duration_ms // (len(found) + 1)
        ours += agreement(found, spoken.gold_ms, spoken.duration_ms)
        even += agreement([step * n for n in range(1, len(found) + 1)], spoken.gold_ms, spoken.duration_ms)
    assert ours.f1 > even.f1 + 0.25
    assert ours.pk < even.pk - 0.10


def marked(spoken: Spoken) -> str:
    """As automatic captions are copied: ten words after each mark, no punctuation, no case."""
    texts = [bare(word.text) for word in spoken.words]
    marks = range(0, len(texts), 10)
    return "\n".join(f"[{ms_to_clock(spoken.words[at].start_ms)}] {' '.join(texts[at : at + 10])}" for at in marks)


@pytest.mark.parametrize(
    ("suffix", "least_f1"), [(".vtt", 0.74), (".txt", 0.60)], ids=["from captions", "from marked text"]
)
def test_boundaries_from_transcripts(tmp_path: Path, suffix: str, least_f1: float) -> None:
    """Held-out narrations that come in as captions (no pauses inside a cue) or as marked text (no pauses at all)."""
    total = Agreement()
    for spoken in spoken_set("own_test")[::2]:
        path = tmp_path / f"a{suffix}"
        path.write_text(captions_vtt(find_cues(spoken.words)) if suffix == ".vtt" else marked(spoken))
        transcript, findings = read_transcript(path)
        assert findings == []
        read = replace(spoken, words=transcript.words, segment_starts=transcript.segment_starts)
        found = [chapter.start_ms for chapter in chapters_of(read)]
        total += agreement(found[1:], spoken.gold_ms, spoken.duration_ms)
    assert total.f1 >= least_f1, str(total)


def check_form(chapters: list[Chapter], duration_ms: int) -> None:
    assert chapters[0].start_ms == 0
    starts = [chapter.start_ms for chapter in chapters]
    assert all(b - a >= 10_000 for a, b in itertools.pairwise([*starts, duration_ms]))
    titles = [chapter.title.lower() for chapter in chapters]
    assert len(set(titles)) == len(titles)
    for chapter in chapters:
        assert 1 <= len(chapter.title) <= 60
        assert chapter.title[0] == chapter.title[0].upper()
        words = [bare(word) for word in chapter.title.split()]
        lone = topic_words().stop | topic_words().verbs
        assert not (len(words) == 1 and words[0] in lone), chapter.title
        assert words[-1] not in ("and", "the", "of", ""), chapter.title


@pytest.mark.parametrize("which", ["own_dev", "own_test", "heard_samples"])
@pytest.mark.parametrize("vocabulary", [VOCABULARY, NOTHING], ids=["vocabulary", "none"])
def test_form_of_chapters(which: str, vocabulary: Vocabulary) -> None:
    for spoken in spoken_set(which)[::3]:
        chapters = chapters_of(spoken, vocabulary, with_events=vocabulary is VOCABULARY)
        assert len(chapters) >= 3
        check_form(chapters, spoken.duration_ms)


def test_titles_name_what_is_done_there() -> None:
    """A title counts as good where it shares a word of content with the one its writer gave the place."""
    good = total = 0
    for which in ("own_dev", "own_test"):
        for spoken in spoken_set(which)[::4]:
            gold = dict(zip((0, *spoken.gold_ms), spoken.titles, strict=True))
            for chapter in chapters_of(spoken)[1:]:
                wanted = gold.get(chapter.start_ms)
                if wanted is None:
                    continue
                total += 1
                stop = topic_words().stop
                ours, theirs = ({bare(w).rstrip("s") for w in t.split()} - stop for t in (chapter.title, wanted))
                good += bool(ours & theirs)
    assert total >= 40
    assert good / total >= 0.5, f"{good} of {total}"


def test_a_title_reads_like_one() -> None:
    text = {
        "Introduction": "Hello, today I want to do the rear brake and then the gearbox, both of them in that "
        "order. It has been raining all week so there is nothing else to do but get on with it.",
        "Rear brake": "Right. The rear brake. The brake shoes are new. The brake cam gets a smear of brake grease. "
        "The brake shoes hook on with the return springs, and the brake cam turns freely with the brake shoes on.",
        "Gearbox": "Okay, now the gearbox. The layshaft goes in first. The mainshaft goes in next to the layshaft. "
        "Then the selector forks go on the selector shaft. The layshaft spins, and the selector forks move.",
    }
    narration = read_narrations("own_dev")[0]
    spoken = say(type(narration)("x", tuple((title, (words,)) for title, words in text.items())), True, True)
    titles = [chapter.title for chapter in chapters_of(spoken)]
    assert titles[0] == "Introduction: rear brake and gearbox"
    assert titles[1].startswith("Rear brake: ")
    assert "shoes" in titles[1]
    assert "cam" in titles[1]
    assert "layshaft" in titles[2].lower()
    assert "selector forks" in titles[2].lower()


CLOCK = (
    "Rack tail, straightened it. The rack spring is broken, so I've made a new rack spring out of brass strip. "
    "The suspension spring is kinked, and the suspension spring is on order. Not polished to a mirror. "
)


def _clock_title(assemblies: set[str] | None, said: str = CLOCK) -> str:
    words = line_words(said)
    tokens = written_tokens(words)
    events = find_events(tokens, (), VOCABULARY).events
    (title,) = find_titles(
        words, tokens, [0], find_terms(tokens, VOCABULARY), events, VOCABULARY, assemblies=assemblies
    )
    return title


def test_parts_that_no_vocabulary_has_are_named_in_full() -> None:
    """A clock's suspension spring is no suspension, and its mirror none of a car."""
    title = _clock_title({"hardware"})
    assert "rack" in title.lower() and "suspension spring" in title
    assert "mirror" not in title.lower() and not title.startswith("Suspension")


def test_several_wheels_have_their_own_names() -> None:
    said = "The great wheel comes out. The escape wheel comes out. The warning wheel comes out. A wheel is a wheel."
    title = _clock_title({"hardware"}, said)
    assert "great wheel" in title.lower() and "escape wheel" in title


def test_no_title_has_an_assembly_that_the_machine_lacks() -> None:
    said = "The valve guide goes in. The piston ring goes on, and the piston goes in. The valve spring goes on."
    assert _clock_title(None, said).startswith("Engine top end: ")
    assert "ngine" not in _clock_title({"hydraulics"}, said)


def test_which_hand_a_thread_has_is_no_topic() -> None:
    said = "Left hand thread, remember. The crank bolt goes in. It's a left hand thread. The crank bolt is tight."
    assert "hand" not in _clock_title(None, said) and "rank bolt" in _clock_title(None, said)


def test_talk_and_verbs_are_no_topic() -> None:
    said = "brake shoes came off the brake drum in the afternoon and a new brake cam so that seats it"
    words = line_words(said)
    (chapter,) = find_chapters(words, written_tokens(words, ()), (), VOCABULARY, 60_000, count=1)
    assert "afternoon" not in chapter.title.lower() and "seat" not in chapter.title.lower()
    assert "brake" in chapter.title.lower()


def test_a_short_first_chapter_is_named_after_the_machine() -> None:
    said = "Right, this is the Tamsin 90 outboard, and the horn sounds like a duck. "
    work = "The gearcase drains now. The gearcase oil is milky, and the gearcase seals leak. " * 6
    words = line_words(said + work)
    starts = [0, len(said.split())]
    tokens = written_tokens(words, ())
    titles = find_titles(words, tokens, starts, find_terms(tokens, VOCABULARY), (), VOCABULARY)
    assert titles[0] == "Tamsin 90 outboard" and "gearcase" in titles[1].lower()
    whole = find_titles(words, tokens, [0], find_terms(tokens, VOCABULARY), (), VOCABULARY)
    assert "gearcase" in whole[0].lower(), "a chapter of work has its own name"


@pytest.mark.parametrize(
    ("said", "title"),
    [
        ("So this is a push along mower, and the old lady across the road says it coughs. ", "Mower"),
        ("So this is a push along mower, and the pull cord has snapped on it. ", "Pull cord"),
        ("So this is a heap of trouble, and the old lady across the road says it coughs. ", ""),
    ],
)
def test_where_no_part_and_no_maker_is_named_the_sort_of_machine_is(said: str, title: str) -> None:
    words = line_words(
        said + "The carburettor drains now. The carburettor bowl is milky, and the carburettor leaks. " * 6
    )
    tokens = written_tokens(words, ())
    starts = [0, len(said.split())]
    (first, _) = find_titles(words, tokens, starts, find_terms(tokens, VOCABULARY), (), VOCABULARY)
    assert first.startswith(title) and (title == "Mower" or not first.startswith("Mower"))


def test_what_a_ring_does_is_no_seat() -> None:
    words = line_words("The brake drum goes on until the snap ring seats, and the brake drum turns.")
    (chapter,) = find_chapters(words, written_tokens(words, ()), (), VOCABULARY, 60_000, count=1)
    assert "seat" not in chapter.title.lower()


def test_corrected_words_are_in_the_title() -> None:
    said = "now the sir clip goes in and the sir clip must sit in its groove so turn the sir clip until it clicks "
    words = [Word(text, n * 400, n * 400 + 380) for n, text in enumerate((said * 6).split())]
    corrections = [
        Correction(n, n + 2, "sir clip", "circlip", 0.99, "auto", "")
        for n, word in enumerate(words)
        if word.text == "sir"
    ]
    chapters = find_chapters(words, written_tokens(words, corrections), (), VOCABULARY, words[-1].end_ms)
    assert "circlip" in chapters[0].title.lower()
    assert "sir" not in chapters[0].title.lower()


def test_american_names_for_american_readers() -> None:
    said = "right the carburettor comes apart and the carburettor is cleaned and this carburettor is done "
    words = [Word(text, n * 400, n * 400 + 380) for n, text in enumerate((said * 3).split())]
    tokens = written_tokens(words)
    british = find_chapters(words, tokens, (), VOCABULARY, words[-1].end_ms)
    american = find_chapters(words, tokens, (), VOCABULARY, words[-1].end_ms, spelling="american")
    assert "carburettor" in british[0].title.lower()
    assert "carburetor" in american[0].title.lower()


@pytest.mark.parametrize("count", [1, 2, 3, 5, 9, 12])
def test_so_many_chapters_as_asked_for(count: int) -> None:
    spoken = spoken_set("own_dev")[0]
    chapters = chapters_of(spoken, count=count)
    assert len(chapters) == count
    assert chapter_findings(chapters, count) == []
    check_form(chapters, spoken.duration_ms)


def test_more_chapters_than_there_is_room_for_are_told() -> None:
    spoken = spoken_set("own_dev")[0]
    chapters = chapters_of(spoken, count=200)
    check_form(chapters, spoken.duration_ms)
    (finding,) = chapter_findings(chapters, 200)
    assert finding.message.startswith(f"only {len(chapters)} of 200 chapters")


def test_target_length() -> None:
    spoken = spoken_set("own_dev")[0]
    numbers = [len(chapters_of(spoken, target_length_ms=length)) for length in (20_000, 45_000, 120_000)]
    assert numbers[0] > numbers[1] > numbers[2] >= 3


def test_an_hour_has_chapters_of_some_minutes() -> None:
    words: list[Word] = []
    clock = 0
    for repeat, narration in enumerate(read_narrations("own_dev") + read_narrations("facts_dev")):
        spoken = say(narration, bool(repeat % 2), True)
        words += [Word(w.text, w.start_ms + clock, w.end_ms + clock, w.probability) for w in spoken.words]
        clock = words[-1].end_ms + 4000
    assert clock > 55 * 60_000
    chapters = find_chapters(words, written_tokens(words), (), VOCABULARY, clock)
    assert 12 <= len(chapters) <= 40
    check_form(chapters, clock)


def test_short_recordings() -> None:
    assert find_chapters([], [], (), VOCABULARY, 60_000) == []
    words = [
        Word(text, n * 500, n * 500 + 400) for n, text in enumerate(["The", "kick-start", "spring", "is", "in."] * 4)
    ]
    chapters = find_chapters(words, written_tokens(words), (), VOCABULARY, 11_000)
    assert [chapter.start_ms for chapter in chapters] == [0]
    assert chapter_findings(chapters)[0].level == "note"


def test_text_without_marks_or_pauses_is_still_cut() -> None:
    """As automatic captions give it: words share the time of their line."""
    narration = read_narrations("own_dev")[0]
    texts = [w.strip(".,").lower() for _, ps in narration.chapters for p in ps for w in p.split()]
    words = [Word(text, n * 370, (n + 1) * 370) for n, text in enumerate(texts)]
    chapters = find_chapters(words, written_tokens(words), (), VOCABULARY, len(texts) * 370)
    assert len(chapters) >= 4
    check_form(chapters, len(texts) * 370)


def test_utterances_cover_every_token_once() -> None:
    rng = random.Random(3)
    for spoken in spoken_set("own_dev")[:4]:
        tokens = written_tokens(spoken.words)
        units = cut_utterances(tokens, sorted(rng.sample(range(len(tokens)), 20)))
        assert [at for unit in units for at in range(unit.start, unit.end)] == list(range(len(tokens)))


SAID = ["right", "okay", "so", "now", "the", "brake", "shoe.", "gearbox", "oil", "seal", "it", "is", "moving", "on"]
WORDS = st.sampled_from([*SAID, "--", "\u202e", "<b>", "25"])


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(WORDS, st.integers(0, 3000)), min_size=1, max_size=150), st.integers(0, 8))
def test_any_words_give_chapters_in_order(entries: list[tuple[str, int]], count: int) -> None:
    clock = 0
    words = []
    for text, pause in entries:
        words.append(Word(text, clock, clock + 200))
        clock += 200 + pause
    chapters = find_chapters(words, written_tokens(words), (), NOTHING, clock, count=count or None)
    assert chapters[0].start_ms == 0
    assert all(b.start_ms - a.start_ms >= 10_000 for a, b in itertools.pairwise(chapters))
    assert len({chapter.title.lower() for chapter in chapters}) == len(chapters)
    assert all(0 < len(chapter.title) <= 60 for chapter in chapters)


def test_data_of_turns_and_words() -> None:
    said = turns()
    tables = (
        said.openers,
        said.phrases,
        said.endings,
        said.closers,
        said.farewells,
        said.introductions,
        said.remainders,
    )
    for table in tables:
        assert table
        for words, weight in table.items():
            assert 0 <= weight <= 3
            assert all(bare(word) == word for word in words), words
    assert not topic_words().stop & topic_words().general
