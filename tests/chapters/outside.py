"""Programs of the operating system that judge our files, and media files to judge."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

needs = {
    name: pytest.mark.skipif(not shutil.which(name), reason=f"{name} is not installed")
    for name in ("ffmpeg", "ffprobe", "mkvmerge", "mkvextract", "node")
}


def run(*command: str | Path, ok: bool = True) -> subprocess.CompletedProcess[str]:
    result = subprocess.run([str(part) for part in command], capture_output=True, text=True, check=False)
    assert not ok or result.returncode == 0, result.stderr or result.stdout
    return result


def probe(path: Path) -> list[dict[str, Any]]:
    found = json.loads(run("ffprobe", "-v", "error", "-show_chapters", "-of", "json", path).stdout)["chapters"]
    return list(found)


# suffix -> how ffmpeg makes such a file.
KINDS = {
    ".mp4": ["-c:v", "mpeg4", "-c:a", "aac"],
    ".mov": ["-c:v", "mpeg4", "-c:a", "aac"],
    ".mkv": ["-c:v", "mpeg4", "-c:a", "aac"],
    ".webm": ["-c:v", "libvpx", "-b:v", "60k", "-c:a", "libopus"],
    ".m4a": ["-vn", "-c:a", "aac"],
    ".mp3": ["-vn", "-c:a", "libmp3lame"],
    ".ogg": ["-vn", "-c:a", "libopus"],
    ".opus": ["-vn", "-c:a", "libopus"],
    ".wav": ["-vn"],
}


def make(path: Path, *extra: str, seconds: int = 30) -> Path:
    run(
        *("ffmpeg", "-v", "error", "-y", "-f", "lavfi", "-i", f"testsrc=s=64x48:r=5:d={seconds}"),
        *("-f", "lavfi", "-i", f"sine=f=300:d={seconds}", *(extra or KINDS[path.suffix]), path),
    )
    return path
