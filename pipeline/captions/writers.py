"""WebVTT and SubRip. Whatever the words are, they come out as text: nothing in them is read as markup or as a time."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pipeline.captions.cues import Cue
from pipeline.times import ms_to_srt, ms_to_vtt

_VTT_ESCAPES = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;"})
# SubRip has no escapes, and players read markup and --> in it: look-alikes stand in for the brackets.
_SRT_LOOKALIKES = str.maketrans({"<": "‹", ">": "›", "{": "(", "}": ")"})


def captions_vtt(cues: Sequence[Cue]) -> str:
    """W3C WebVTT, "WebVTT file using cue text"."""
    blocks = ["WEBVTT\n"]
    for cue in cues:
        text = "\n".join(line.translate(_VTT_ESCAPES) for line in cue.lines)
        blocks.append(f"{ms_to_vtt(cue.start_ms)} --> {ms_to_vtt(cue.end_ms)}\n{text}\n")
    return "\n".join(blocks)


def captions_srt(cues: Sequence[Cue]) -> str:
    """SubRip: counter, times with a comma, text, blank line."""
    blocks = []
    for number, cue in enumerate(cues, start=1):
        text = "\n".join(line.translate(_SRT_LOOKALIKES) for line in cue.lines)
        blocks.append(f"{number}\n{ms_to_srt(cue.start_ms)} --> {ms_to_srt(cue.end_ms)}\n{text}\n")
    return "\n".join(blocks)


# file name -> writer. A new caption format is one function and one line.
CAPTION_WRITERS: dict[str, Callable[[Sequence[Cue]], str]] = {
    "captions.vtt": captions_vtt,
    "captions.srt": captions_srt,
}
