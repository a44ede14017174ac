import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.hearing.sound import SAMPLE_RATE
from pipeline.hearing.streams import MOST_STREAMS, lay_streams

speech = st.lists(st.tuples(st.integers(1, 20_000), st.integers(1, 60_000)), max_size=30).map(
    lambda rows: [
        (sum(a + b for a, b in rows[:i]) + gap, sum(a + b for a, b in rows[:i]) + gap + length)
        for i, (gap, length) in enumerate(rows)
    ]
)


@given(speech)
def test_every_stretch_is_laid_once_in_order(spans: list[tuple[int, int]]) -> None:
    streams = lay_streams(spans)
    assert [(s.start_ms, s.end_ms) for stream in streams for s in stream.stretches] == spans
    assert len(streams) <= MOST_STREAMS


@given(speech)
def test_times_map_back_in_order_and_into_speech(spans: list[tuple[int, int]]) -> None:
    for stream in lay_streams(spans):
        times = [stream.to_recording_ms(at_ms) for at_ms in range(0, stream.duration_ms, 97)]
        assert times == sorted(times)
        assert all(any(s.start_ms <= time_ms <= s.end_ms for s in stream.stretches) for time_ms in times)


def test_a_time_in_a_gap_belongs_to_the_next_stretch_and_an_end_to_the_one_before() -> None:
    (stream,) = lay_streams([(1_000, 2_000), (12_000, 13_000)])
    assert stream.duration_ms == 1_000 + 400 + 1_000
    assert stream.to_recording_ms(1_200) == 12_000
    assert stream.to_recording_ms(1_200, is_end=True) == 2_000
    assert stream.to_recording_ms(1_500) == 12_100


def test_silence_is_cut_out_of_the_sound_and_speech_is_kept_sample_for_sample() -> None:
    sound = np.arange(14 * SAMPLE_RATE, dtype=np.float32)
    (stream,) = lay_streams([(1_000, 2_000), (12_000, 13_000)])
    samples = stream.samples(sound, 0, stream.duration_ms)
    assert len(samples) == 2_400 * SAMPLE_RATE // 1000
    assert samples[0] == 1 * SAMPLE_RATE
    assert samples[1_400 * 16] == 12 * SAMPLE_RATE
    assert not samples[1_000 * 16 : 1_400 * 16].any()


@given(speech.filter(bool), st.integers(0, 90_000), st.integers(1, 30_000))
def test_a_piece_is_a_piece_of_the_whole(spans: list[tuple[int, int]], from_ms: int, length_ms: int) -> None:
    sound = np.random.default_rng(1).random((spans[-1][1] + 10) * 16).astype(np.float32)
    stream = lay_streams(spans)[0]
    to_ms = min(from_ms + length_ms, stream.duration_ms)
    if from_ms < to_ms:
        whole = stream.samples(sound, 0, stream.duration_ms)
        assert np.array_equal(stream.samples(sound, from_ms, to_ms), whole[from_ms * 16 : to_ms * 16])


def test_streams_are_of_about_the_same_length_and_end_at_long_pauses() -> None:
    spans = [(second * 1_000, second * 1_000 + 4_800) for second in range(0, 180, 5)]
    assert [len(stream.stretches) for stream in lay_streams(spans)] == [18, 18]
    # A long pause a little before the middle.
    spans = spans[:17] + [(start + 4_000, end + 4_000) for start, end in spans[17:]]
    assert [len(stream.stretches) for stream in lay_streams(spans)] == [17, 19]


@pytest.mark.parametrize(("minutes", "streams"), [(0.5, 1), (1.2, 2), (5, 2), (9, 4), (20, 8), (180, 8)])
def test_longer_recordings_have_more_streams(minutes: float, streams: int) -> None:
    spans = [(at * 10_000, at * 10_000 + 9_900) for at in range(int(minutes * 6))]
    assert len(lay_streams(spans)) == streams
