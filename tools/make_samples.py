"""Makes the recordings in samples/ from tools/narrations/samples: `python tools/make_samples.py [NAME...] [--facts]`.

Each folder gets script.txt, the recording (.ogg, or .mp4 with moving pictures) and gold.json; with --facts the
recording stays as it is, for facts that were changed in a narration whose words stay. Needs ffmpeg and the
voices of speak.py. The same narration gives the same sound on the same versions of those programs.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import zlib
from pathlib import Path

import narration as narrations
import numpy as np
import pictures
import speak as voices

ROOT = Path(__file__).resolve().parent.parent
SOURCES = ROOT / "tools" / "narrations" / "samples"


def make(name: str, facts_only: bool = False) -> Path:
    """Speaks, mixes and encodes one sample, and returns the recording; with `facts_only`, its gold facts."""
    source = SOURCES / f"{name}.txt"
    if not source.is_file():
        known = ", ".join(sorted(path.stem for path in SOURCES.glob("*.txt")))
        raise SystemExit(f"no sample called {name!r}; there are: {known}")
    narration = narrations.read_narration(source)
    voice, snr_db = narration.header["voice"], float(narration.header["snr_db"])
    seed = zlib.crc32(name.encode())
    speech, starts = narrations.speak_narration(narration, voice, seed)
    duration_ms = len(speech) * 1000 // voices.RATE_HZ
    gold = narrations.gold(narration, starts, voice, snr_db)
    folder = ROOT / "samples" / name
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "script.txt").write_text(narrations.script(narration), encoding="utf-8")
    (folder / "gold.json").write_text(json.dumps(gold, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
    if facts_only:
        return folder / "gold.json"
    sound = voices.mix(speech, voices.workshop(duration_ms, np.random.default_rng(seed)), snr_db)
    with tempfile.TemporaryDirectory() as work:
        wave_file = Path(work, "sound.wav")
        voices.write_wave(wave_file, sound)
        if narration.header.get("video"):
            out = folder / f"{name}.mp4"
            pictures.encode(out, wave_file, duration_ms, [(c["start_ms"], c["title"]) for c in gold["chapters"]])
        else:
            out = folder / f"{name}.ogg"
            command = ["ffmpeg", "-y", "-v", "error", "-i", str(wave_file), "-c:a", "libopus", "-b:a", "32k"]
            subprocess.run([*command, "-map_metadata", "-1", "-fflags", "+bitexact", str(out)], check=True)
    return out


if __name__ == "__main__":
    names = [name for name in sys.argv[1:] if name != "--facts"]
    for name in names or sorted(path.stem for path in SOURCES.glob("*.txt")):
        made = make(name, facts_only="--facts" in sys.argv)
        print(f"{made.relative_to(ROOT)}  {made.stat().st_size / 1e6:.1f} MB")
