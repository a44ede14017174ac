import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from pipeline.hearing.sound import SAMPLE_RATE
from pipeline.hearing.windows import MAX_WINDOW_MS, pack_windows

speech = st.lists(st.tuples(st.integers(1, 20_000), st.integers(1, 60_000)), max_size=30).map(
    lambda rows: [
        (sum(a + b for a, b in rows[:i]) + gap, sum(a + b for a, b in rows[:i]) + gap + length)
        for i, (gap, length) in enumerate(rows)
    ]
)


@given(speech)
def test_every_stretch_is_packed_once_in_order_and_fits(spans: list[tuple[int, int]]) -> None:
    windows = pack_windows(spans)
    packed = [(s.start_ms, s.end_ms) for window in windows for s in window.stretches]
    assert packed == sorted(packed)
    assert sum(end - start for start, end in packed) == sum(end - start for start, end in spans)
    assert all(window.duration_ms <= MAX_WINDOW_MS for window in windows)


@given(speech)
def test_times_map_back_in_order_and_into_speech(spans: list[tuple[int, int]]) -> None:
    for window in pack_windows(spans):
        times = [window.to_recording_ms(at_ms) for at_ms in range(0, window.duration_ms, 97)]
        assert times == sorted(times)
        assert all(any(s.start_ms <= time_ms <= s.end_ms for s in window.stretches) for time_ms in times)


def test_a_time_in_a_gap_belongs_to_the_next_stretch_and_an_end_to_the_one_before() -> None:
    (window,) = pack_windows([(1_000, 2_000), (12_000, 13_000)])
    assert window.duration_ms == 1_000 + 400 + 1_000
    assert window.to_recording_ms(1_200) == 12_000
    assert window.to_recording_ms(1_200, is_end=True) == 2_000
    assert window.to_recording_ms(1_500) == 12_100


def test_silence_is_cut_out_of_the_sound_and_speech_is_kept_sample_for_sample() -> None:
    sound = np.arange(14 * SAMPLE_RATE, dtype=np.float32)
    (window,) = pack_windows([(1_000, 2_000), (12_000, 13_000)])
    samples = window.samples(sound)
    assert len(samples) == 2_400 * SAMPLE_RATE // 1000
    assert samples[0] == 1 * SAMPLE_RATE
    assert samples[1_400 * 16] == 12 * SAMPLE_RATE
    assert not samples[1_000 * 16 : 1_400 * 16].any()


def test_a_full_window_ends_at_the_longest_late_pause() -> None:
    spans = [(0, 10_000), (10_100, 20_000), (23_000, 28_000), (28_100, 33_000)]
    assert [len(window.stretches) for window in pack_windows(spans)] == [2, 2]
