"""Three days on the Penhallow 175, made by hand: what builds and books are tested with.

Records find their words by the words themselves, so the narrations can be edited without counting.
"""

from __future__ import annotations

import hashlib
from typing import Any

from pipeline.records import (
    BuildLog,
    Chapter,
    Event,
    Finding,
    LooseEnd,
    Note,
    PartMention,
    Quantity,
    Recording,
    Settings,
    Status,
    Word,
)


class Narration:
    """Words with times from lines that open with `m:ss`, and where each phrase of them stands."""

    def __init__(self, text: str) -> None:
        words: list[Word] = []
        starts: list[int] = []
        for line in text.strip().splitlines():
            clock, *pieces = line.split()
            minutes, seconds = clock.split(":")
            time_ms = (int(minutes) * 60 + int(seconds)) * 1000
            starts.append(len(words))
            words += [Word(piece, time_ms + n * 300, time_ms + n * 300 + 280, 0.9) for n, piece in enumerate(pieces)]
        self.words, self.segment_starts = tuple(words), tuple(starts)

    def at(self, phrase: str) -> dict[str, Any]:
        """`start_word`, `end_word`, `start_ms` and `said` of the first place where the phrase is said."""
        pieces = phrase.split()
        texts = [word.text for word in self.words]
        for start in range(len(texts) - len(pieces) + 1):
            if texts[start : start + len(pieces)] == pieces:
                said = phrase.rstrip(".,")
                end = start + len(pieces)
                return {"start_word": start, "end_word": end, "start_ms": self.words[start].start_ms, "said": said}
        raise LookupError(f"the narration does not say {phrase!r}")

    def event(self, id_: str, action: str, part: str, phrase: str, status: Status = "done", **fields: Any) -> Event:
        """An event whose evidence is the phrase."""
        own = {"side": "", "position": "", "condition": "", "finish": "", "count": None, "quantities": (), "tool": ""}
        return Event(id_, action, part, status, **{**own, **fields, **self.at(phrase)})

    def figure(self, id_: str, kind: str, value: float, unit: str, phrase: str, **fields: Any) -> Quantity:
        """A quantity whose evidence is the phrase."""
        own = {"high": None, "approximate": False}
        return Quantity(id_, kind, value, unit=unit, **{**own, **fields, **self.at(phrase)})

    def loose(self, kind: str, part: str, phrase: str, **fields: Any) -> LooseEnd:
        """A loose end whose evidence is the phrase."""
        return LooseEnd(kind, part, **{**fields, **self.at(phrase)})

    def log(self, name: str, **fields: Any) -> BuildLog:
        """A log of it all; the SHA-256 is that of the name."""
        sha256 = hashlib.sha256(name.encode()).hexdigest()
        recording = Recording(name, self.words[-1].end_ms + 1500, sha256)
        settings = Settings(machine="Penhallow 175")
        return BuildLog(
            recording, self.words, segment_starts=self.segment_starts, **{"settings": settings, **fields}
        )  # fmt: skip


def day_one() -> BuildLog:
    """The engine comes apart, the shoes are found worn, the fork legs are drained."""
    n = Narration(
        """
        0:02 Day one on the Penhallow one seventy five. The rear brake shoes are worn, they come out.
        0:20 Gearbox oil drained, about one and a quarter pints came out.
        0:41 I drained both fork legs as well, we will fill those another day.
        1:05 Here we have the original primary cover, enamelled gloss grey, that one stays.
        1:30 The exhaust flange nuts are only nipped up for now, they need torquing later.
        1:55 Careful, never hammer on the end of the crankshaft.
        2:10 The cylinder head nuts are the old story, so that is what they get, twenty newton metres.
        """
    )
    return n.log(
        "2031-05-03 Penhallow day 1.wav",
        quantities=(
            n.figure("q1", "volume", 1.25, "pt_imp", "one and a quarter pints", approximate=True, subject="gearbox",
                     si_value=710.3, si_unit="mL"),
            n.figure("q2", "torque", 20.0, "N·m", "get, twenty newton metres.", subject="cylinder head nut",
                     si_value=20.0, si_unit="N·m"),
        ),
        events=(
            n.event("e1", "remove", "brake shoe", "they come out.", position="rear", condition="worn", count=2,
                    assembly="rear_brake"),
            n.event("e2", "drain", "gearbox", "Gearbox oil drained,", fluid="gear oil", quantities=("q1",),
                    assembly="gearbox"),
            n.event("e3", "drain", "fork leg", "I drained both fork legs", count=2, fluid="fork oil",
                    assembly="front_suspension"),
            n.event("e4", "tighten", "exhaust flange nut", "are only nipped up for now,", "provisional",
                    assembly="exhaust"),
            n.event("e5", "torque", "cylinder head nut", "that is what they get, twenty newton metres.", count=4,
                    quantities=("q2",), assembly="top_end"),
        ),
        mentions=(
            PartMention("primary cover", "", "", "original", "enamelled gloss grey", None,
                        assembly="primary_drive", **n.at("the original primary cover, enamelled gloss grey,")),
        ),
        notes=(Note("caution", "crankshaft", **n.at("never hammer on the end of the crankshaft.")),),
        chapters=(Chapter(0, "Taking stock"), Chapter(65_000, "Covers and exhaust")),
        loose_ends=(
            n.loose("not_closed", "gearbox", "Gearbox oil drained,", event="e2", action="fill"),
            n.loose("promised", "fork leg", "we will fill those another day.", event="e3", action="fill"),
            n.loose("loose", "exhaust flange nut", "are only nipped up for now,", event="e4", action="tighten"),
        ),
        findings=(Finding("note", "torque_low", "heard 20 N·m on M8: low for the size", 130_000),),
    )  # fmt: skip


def day_two() -> BuildLog:
    """New shoes go in, the fork legs are filled, the head is torqued to another figure than on day one."""
    n = Narration(
        """
        0:03 Day two. New rear brake shoes are in, and the wheel spindle nut is tight.
        0:25 Fork oil next, the left leg is filled with a hundred and ninety cc of SAE ten.
        0:44 And the right leg the same, a hundred and ninety cc.
        1:02 Shim first, then the thrust washer, then the layshaft first gear.
        1:20 The four cylinder head nuts are torqued to twenty five newton metres.
        1:41 The primary cover is back on with a new gasket.
        """
    )
    return n.log(
        "2031-05-10 Penhallow day 2.mp4",
        quantities=(
            n.figure("q1", "volume", 190.0, "mL", "a hundred and ninety cc of", subject="fork leg", side="left",
                     si_value=190.0, si_unit="mL"),
            n.figure("q2", "viscosity", 10.0, "SAE", "SAE ten.", subject="fork oil"),
            n.figure("q3", "volume", 190.0, "mL", "a hundred and ninety cc.", subject="fork leg", side="right",
                     si_value=190.0, si_unit="mL"),
            n.figure("q4", "torque", 25.0, "N·m", "twenty five newton metres.", subject="cylinder head nut",
                     si_value=25.0, si_unit="N·m"),
        ),
        events=(
            n.event("e1", "fit", "brake shoe", "New rear brake shoes are in,", position="rear", condition="new",
                    count=2, assembly="rear_brake"),
            n.event("e2", "tighten", "wheel spindle nut", "the wheel spindle nut is tight.", position="rear",
                    assembly="wheels"),
            n.event("e3", "fill", "fork leg", "the left leg is filled", side="left", fluid="fork oil",
                    quantities=("q1", "q2"), assembly="front_suspension"),
            n.event("e4", "fill", "fork leg", "the right leg the same,", side="right", fluid="fork oil",
                    quantities=("q3",), assembly="front_suspension"),
            n.event("e5", "fit", "shim", "Shim first,", assembly="gearbox", sequence=1, step=1),
            n.event("e6", "fit", "thrust washer", "then the thrust washer,", assembly="gearbox", sequence=1, step=2),
            n.event("e7", "fit", "layshaft first gear", "then the layshaft first gear.", assembly="gearbox",
                    sequence=1, step=3),
            n.event("e8", "torque", "cylinder head nut", "are torqued to twenty five newton metres.", count=4,
                    quantities=("q4",), assembly="top_end"),
            n.event("e9", "fit", "primary cover", "The primary cover is back on", assembly="primary_drive"),
            n.event("e10", "fit", "primary cover gasket", "with a new gasket.", condition="new",
                    assembly="primary_drive"),
        ),
        chapters=(Chapter(0, "Rear brake"), Chapter(25_000, "Fork oil"), Chapter(62_000, "Gear train and head")),
        loose_ends=(
            n.loose("no_figure", "wheel spindle nut", "the wheel spindle nut is tight.", position="rear", event="e2",
                    action="torque"),
        ),
    )  # fmt: skip


def day_three() -> BuildLog:
    """The gearbox is filled again and the spindle nut gets its figure; the exhaust stays as it is."""
    n = Narration(
        """
        0:02 Day three. Five hundred cc of gear oil into the gearbox.
        0:18 The wheel spindle nut is torqued to fifty foot pounds, and the split pin is in.
        0:40 The fuel tap is connected again. If yours is a later one it has a filter bowl, fit a new seal.
        """
    )
    return n.log(
        "2031-05-17 Penhallow day 3.wav",
        quantities=(
            n.figure("q1", "volume", 500.0, "mL", "Five hundred cc of", subject="gearbox", si_value=500.0,
                     si_unit="mL"),
            n.figure("q2", "torque", 50.0, "lbf·ft", "fifty foot pounds,", subject="wheel spindle nut",
                     si_value=67.79, si_unit="N·m", other_readings=(15.0,), why="fifty and fifteen sound alike"),
        ),
        events=(
            n.event("e1", "fill", "gearbox", "Five hundred cc of gear oil into the gearbox.", fluid="gear oil",
                    quantities=("q1",), assembly="gearbox"),
            n.event("e2", "torque", "wheel spindle nut", "The wheel spindle nut is torqued to", position="rear",
                    quantities=("q2",), assembly="wheels"),
            n.event("e3", "fit", "split pin", "the split pin is in.", assembly="wheels"),
            n.event("e4", "connect", "fuel tap", "The fuel tap is connected again.", assembly="fuel"),
            n.event("e5", "fit", "filter bowl seal", "fit a new seal.", "advised", condition="new", assembly="fuel"),
        ),
    )  # fmt: skip


DAYS = (day_one, day_two, day_three)
