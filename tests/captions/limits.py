"""A checker of caption files, written apart from the generator: it sees only the file and the words with their times.

Numbers: BBC Subtitle Guidelines (37 characters, two lines, about 0.3 s a word, no gap or at least 1 s, at most 1.5 s
early or hanging on), and 5/6 s as the least time for any caption, as is common beside them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from pipeline.records import Word

_TIMES = re.compile(r"(\d\d):(\d\d):(\d\d)[.,](\d\d\d) --> (\d\d):(\d\d):(\d\d)[.,](\d\d\d)")


@dataclass
class Shown:
    start: int
    end: int
    lines: list[str]


def parse(text: str) -> list[Shown]:
    """Cues of a WebVTT or SubRip file, by its lines of times."""
    shown: list[Shown] = []
    for line in text.split("\n"):
        match = _TIMES.fullmatch(line)
        if match:
            h1, m1, s1, t1, h2, m2, s2, t2 = map(int, match.groups())
            shown.append(Shown(((h1 * 60 + m1) * 60 + s1) * 1000 + t1, ((h2 * 60 + m2) * 60 + s2) * 1000 + t2, []))
        elif line and shown and not (line.isdigit() and text.startswith("1\n") and line == str(len(shown) + 1)):
            shown[-1].lines.append(line.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&"))
    return shown


def violations(text: str, words: list[Word], together: list[tuple[int, int]] = ()) -> list[str]:  # type: ignore[assignment]
    """Every breach of a hard limit, in words. `together`: word ranges that must stand on one line.

    The words must be in the file as they are, in order (no corrections).
    """
    shown = parse(text)
    faults: list[str] = []
    at = 0
    rest = words[0].text if words else ""
    line_of: list[tuple[int, int]] = []
    spans: list[tuple[int, int]] = []
    for number, cue in enumerate(shown):
        first = at
        for row, line in enumerate(cue.lines):
            if len(line) > 37:
                faults.append(f"{number}: line of {len(line)} characters")
            for piece in line.split(" "):
                if len(rest) > 37 and rest.startswith(piece) and rest != piece:
                    rest = rest[len(piece) :]  # a word longer than a line goes on
                    continue
                if rest != piece:
                    return [*faults, f"{number}: {piece!r} is not what was said"]
                line_of.append((number, row))
                at += 1
                rest = words[at].text if at < len(words) else ""
        spans.append((first, at))
        if not 1 <= len(cue.lines) <= 2:
            faults.append(f"{number}: {len(cue.lines)} lines")
    if at != len(words):
        faults.append(f"{len(words) - at} words are missing")
    for number, (cue, (first, last)) in enumerate(zip(shown, spans, strict=True)):
        spoken, over = words[first].start_ms, words[last - 1].end_ms
        gap_after = shown[number + 1].start - cue.end if number + 1 < len(shown) else 10_000
        gap_before = cue.start - shown[number - 1].end if number else cue.start
        if gap_after < 0:
            faults.append(f"{number}: overlaps the next")
        elif 0 < gap_after < 1000:
            faults.append(f"{number}: gap of {gap_after} ms")
        if cue.start > spoken:
            faults.append(f"{number}: {cue.start - spoken} ms late")
        if spoken - cue.start > 1500:
            faults.append(f"{number}: {spoken - cue.start} ms early")
        if cue.end < over:
            faults.append(f"{number}: gone {over - cue.end} ms before the last word is over")
        if cue.end - over > 1500:
            faults.append(f"{number}: hangs on for {cue.end - over} ms")
        if cue.end - cue.start < max(833, 300 * (last - first)):
            used_late = gap_after == 0 or cue.end - over == 1500 or gap_after == 1000
            used_early = gap_before == 0 or spoken - cue.start == 1500 or gap_before == 1000
            if not (used_late and used_early):
                faults.append(f"{number}: {cue.end - cue.start} ms for {last - first} words, and there was more time")
    for start, end in together:
        if len({line_of[index] for index in range(start, end)}) > 1:
            faults.append(f"words {start} to {end} are not on one line")
    return faults
