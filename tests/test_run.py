"""`witnessmark run` as a person meets it: good input, bad input, a full disk, Ctrl-C; as a real process."""

import json
import os
import signal
import subprocess
import sys
import time
import wave
from pathlib import Path

import numpy as np
import pytest

ROOT = Path(__file__).resolve().parent.parent
HEARD = ROOT / "tests" / "samples" / "heard"
OUTPUTS = (
    "log.json",
    "log.html",
    "log.md",
    "parts.csv",
    "figures.csv",
    "chapters.txt",
    "chapters.vtt",
    "captions.vtt",
    "captions.srt",
)


def witnessmark(*args: str | Path, cache: Path | None = None, timeout_s: int = 600) -> subprocess.CompletedProcess[str]:
    env = {**os.environ, "WITNESSMARK_HOME": str(cache or "/nonexistent-home")}
    if cache is not None:
        env["WITNESSMARK_CACHE"] = str(cache)
    command = [sys.executable, "-m", "pipeline", *map(str, args)]
    return subprocess.run(command, capture_output=True, text=True, env=env, timeout=timeout_s, check=False)


def write_silence(path: Path, seconds: int, rate_hz: int = 8_000) -> None:
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(1)
        out.setframerate(rate_hz)
        block = np.full(rate_hz * 60, 128, np.uint8).tobytes()
        for _ in range(seconds // 60):
            out.writeframes(block)


@pytest.mark.parametrize("sample", ["penhallow_gearbox", "tamsin_outboard", "brannock_lathe"])
def test_a_heard_sample_gives_every_file_and_a_valid_log(sample: str, tmp_path: Path) -> None:
    done = witnessmark("run", HEARD / f"{sample}.json", "--into", tmp_path / "out")
    assert done.returncode == 1, done.stderr  # there is always something that a person should look at in these
    assert not done.stderr
    assert {path.name for path in (tmp_path / "out").iterdir()} == set(OUTPUTS)
    log = json.loads((tmp_path / "out" / "log.json").read_text())
    assert log["format"] == "witnessmark-log"
    assert len(log["events"]) >= 15
    kinds = {qty["kind"] for qty in log["quantities"]}
    assert {"torque", "length"} & kinds
    assert len(log["chapters"]) >= 3
    assert log["chapters"][0]["start_ms"] == 0
    words = len(log["words"])
    for fact in [*log["events"], *log["quantities"], *log["corrections"]]:
        assert 0 <= fact["start_word"] < fact["end_word"] <= words
        if "start_ms" in fact:
            assert fact["start_ms"] == log["words"][fact["start_word"]]["start_ms"]


def test_the_log_reads_as_input_again_and_gives_the_same_facts(tmp_path: Path) -> None:
    first, again = tmp_path / "first", tmp_path / "again"
    witnessmark("run", HEARD / "tamsin_outboard.json", "--into", first)
    witnessmark("run", first / "log.json", "--into", again)
    logs = [json.loads((place / "log.json").read_text()) for place in (first, again)]
    for key in ("corrections", "quantities", "events", "chapters", "loose_ends"):
        assert logs[0][key] == logs[1][key], key


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("missing.mp4", None, "there is no file"),
        ("empty.wav", b"", "is empty"),
        ("noise.mp3", bytes(range(256)) * 40, "not sound or video"),
        ("empty.srt", b"", "empty"),
        ("broken.json", b'{"segments": [', "JSON"),
    ],
)
def test_bad_input_is_one_sentence_and_status_2(name: str, content: bytes | None, says: str, tmp_path: Path) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    done = witnessmark("run", tmp_path / name, "--into", tmp_path / "out")
    assert done.returncode == 2
    assert says in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "out").exists()


def test_times_running_backwards_are_mended_and_said(tmp_path: Path) -> None:
    text = (
        "WEBVTT\n\n00:10.000 --> 00:14.000\nI fitted the clutch basket\n\n00:05.000 --> 00:08.000\nand the oil seal\n"
    )
    (tmp_path / "back.vtt").write_text(text)
    witnessmark("run", tmp_path / "back.vtt", "--into", tmp_path / "out")
    log = json.loads((tmp_path / "out" / "log.json").read_text())
    starts = [word["start_ms"] for word in log["words"]]
    assert starts == sorted(starts)
    assert log["findings"]


def test_a_transcript_in_another_encoding_is_read_and_said(tmp_path: Path) -> None:
    (tmp_path / "latin1.vtt").write_bytes("WEBVTT\n\n00:01.000 --> 00:02.000\nfitted caf\xe9\n".encode("latin-1"))
    done = witnessmark("run", tmp_path / "latin1.vtt", "--into", tmp_path / "out")
    assert done.returncode == 1
    log = json.loads((tmp_path / "out" / "log.json").read_text())
    assert [word["text"] for word in log["words"]] == ["fitted", "caf\xe9"]
    assert any("UTF-8" in finding["message"] for finding in log["findings"])


def test_one_bad_file_does_not_stop_the_others(tmp_path: Path) -> None:
    good = HEARD / "brannock_lathe.json"
    done = witnessmark("run", tmp_path / "missing.wav", good, "--into", tmp_path / "out")
    assert done.returncode == 2
    assert "missing.wav" in done.stderr
    assert "1 of 2" in done.stderr
    assert (tmp_path / "out" / "brannock_lathe" / "log.html").is_file()


def test_a_full_disk_leaves_no_half_file(tmp_path: Path) -> None:
    place = tmp_path / "small"
    place.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(place)], capture_output=True, check=False
    )
    if mounted.returncode:
        pytest.skip("no right to mount a small file system here")
    try:
        done = witnessmark("run", HEARD / "penhallow_gearbox.json", "--into", place / "out")
        assert done.returncode == 2
        assert "disk is full" in done.stderr
        assert len(done.stderr.strip().splitlines()) == 1
        for path in (place / "out").rglob("*"):
            assert path.name in OUTPUTS, f"left behind: {path.name}"
            if path.name == "log.json":
                json.loads(path.read_text())
    finally:
        subprocess.run(["umount", str(place)], check=True)


def test_no_right_to_write_is_said(tmp_path: Path) -> None:
    done = witnessmark("run", HEARD / "brannock_lathe.json", "--into", "/proc/nowhere/out")
    assert done.returncode == 2
    assert "cannot write" in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_into_and_build_do_not_go_together(tmp_path: Path) -> None:
    done = witnessmark("run", HEARD / "brannock_lathe.json", "--into", tmp_path, "--build", tmp_path)
    assert done.returncode == 2
    assert "do not go together" in done.stderr


@pytest.mark.model
def test_an_hour_of_silence_is_done_in_a_minute_and_says_that_nobody_spoke(tmp_path: Path) -> None:
    write_silence(tmp_path / "silence.wav", 3600)
    done = witnessmark("run", tmp_path / "silence.wav", "--into", tmp_path / "out", cache=tmp_path / "cache")
    assert done.returncode == 1, done.stderr
    log = json.loads((tmp_path / "out" / "log.json").read_text())
    assert log["words"] == []
    assert [finding["rule"] for finding in log["findings"]] == ["no-speech"]
    assert log["recording"]["duration_ms"] == 3600 * 1000
    assert (tmp_path / "out" / "log.html").is_file()


@pytest.mark.model
def test_a_sample_is_heard_with_the_real_model_stopped_and_taken_up_again(tmp_path: Path) -> None:
    """Ctrl-C in the middle of hearing, then a second run: what was heard stays, and the log is whole."""
    media = ROOT / "samples" / "penhallow_gearbox" / "penhallow_gearbox.ogg"
    cache, out = tmp_path / "cache", tmp_path / "out"
    env = {**os.environ, "WITNESSMARK_CACHE": str(cache), "WITNESSMARK_HOME": str(cache)}
    command = [sys.executable, "-m", "pipeline", "run", str(media), "--into", str(out)]
    # where the tests run in the background, a shell has told everything in them to ignore Ctrl-C
    listening = signal.signal(signal.SIGINT, signal.default_int_handler)
    process = subprocess.Popen(command, env=env, stderr=subprocess.PIPE, text=True)
    signal.signal(signal.SIGINT, listening)
    deadline = time.monotonic() + 300
    while time.monotonic() < deadline and process.poll() is None:
        journals = list((cache / "hearings").glob("*.jsonl")) if cache.is_dir() else []
        if journals and len(journals[0].read_text().splitlines()) > 2:
            break
        time.sleep(0.02)
    process.send_signal(signal.SIGINT)
    _, stderr = process.communicate(timeout=120)
    assert process.returncode == 130, stderr
    assert "stopped" in stderr
    assert len(stderr.strip().splitlines()) == 1
    assert not out.exists()
    (journal,) = (cache / "hearings").glob("*.jsonl")
    kept = journal.read_text().splitlines()
    assert len(kept) > 2

    done = subprocess.run(
        [*command, "--machine", "Penhallow 175"], env=env, capture_output=True, text=True, check=False
    )
    assert done.returncode in (0, 1), done.stderr
    assert journal.read_text().splitlines()[: len(kept)] == kept
    log = json.loads((out / "log.json").read_text())
    gold = json.loads((media.parent / "gold.json").read_text())
    assert len(log["words"]) > 0.9 * len(gold["reference"].split())
    written = " ".join(corr["written"].strip(".,").lower() for corr in log["corrections"] if corr["decision"] == "auto")
    assert "layshaft" in written
    torques = {qty["value"] for qty in log["quantities"] if qty["kind"] == "torque"}
    assert torques & {qty["value"] for qty in gold["quantities"] if qty["kind"] == "torque"}
    volumes = {qty["value"] for qty in log["quantities"] if qty["kind"] == "volume"}
    assert volumes & {qty["value"] for qty in gold["quantities"] if qty["kind"] == "volume"}
    parts = {event["part"] for event in log["events"]}
    assert len(parts & {event["part"] for event in gold["events"]}) >= 10


def test_a_build_takes_each_recording_once_and_makes_up_what_a_dead_run_left_out(tmp_path: Path) -> None:
    build = tmp_path / "penhallow"
    media = HEARD / "penhallow_gearbox.json"
    assert witnessmark("start", build, "--machine", "Penhallow 175", cache=tmp_path).returncode == 0
    assert witnessmark("run", "--build", build, media, cache=tmp_path).returncode == 1
    (place,) = (build / "recordings").iterdir()
    assert set(OUTPUTS) <= {path.name for path in place.iterdir()}
    (place / "captions.srt").unlink()
    again = witnessmark("run", "--build", build, media, cache=tmp_path)
    assert again.returncode == 0
    assert "in the build already" in again.stdout
    assert (place / "captions.srt").is_file()
    assert list((build / "recordings").iterdir()) == [place]
    checked = witnessmark("check", build, cache=tmp_path)
    assert checked.returncode == 1
    assert "penhallow-gearbox 3:" in checked.stdout
