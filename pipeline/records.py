"""Every record of the flow. All are frozen; a stage returns new ones and never changes what it was given.

Conventions, without exception:

- times are integer milliseconds from the start of the recording (`start_ms`, `end_ms`);
- `start_word`/`end_word` are half-open indexes into `Transcript.words`, the words as first heard;
- text fields that do not apply are "", numbers that do not apply are None;
- `said` is the evidence: the words a fact rests on, after correction.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Decision = Literal["auto", "ask", "keep"]
Level = Literal["note", "check", "caution"]
Status = Literal["done", "planned", "provisional", "advised", "negated", "past"]
UnitSystem = Literal["imperial", "us"]
Spelling = Literal["british", "american"]


@dataclass(frozen=True, slots=True)
class Word:
    """One word as first heard, with the punctuation the recogniser attached to it; never any white space."""

    text: str
    start_ms: int
    end_ms: int
    probability: float = 1.0


@dataclass(frozen=True, slots=True)
class Recording:
    """What was heard: the file's name, its length and the SHA-256 of its bytes (hexadecimal).

    `made_on` is when it was recorded, as the file says or its date tells (ISO 8601 date or date and time), or "".
    """

    name: str
    duration_ms: int
    sha256: str
    made_on: str = ""


@dataclass(frozen=True, slots=True)
class Transcript:
    """The words of one recording in order of time. `segment_starts`: indexes of words that open a segment or cue."""

    recording: Recording
    words: tuple[Word, ...]
    segment_starts: tuple[int, ...] = ()
    from_sound: bool = False


@dataclass(frozen=True, slots=True)
class Token:
    """One word of the corrected text, laid over the half-open range of original words that it stands for."""

    text: str
    start_word: int
    end_word: int
    start_ms: int
    end_ms: int


@dataclass(frozen=True, slots=True)
class Correction:
    """A record laid over original words: `heard` may stand for `written`. Nothing is overwritten.

    `score` is the probability (0 to 1) that `written` is what was said. `decision`: auto (applied), ask (shown
    to a person, text stays as heard), keep (looked at and left). `written` keeps the case and punctuation of
    `heard`; `term` is the vocabulary's name. `rivals` are the next best terms. `sound_nats` is by how much the
    sound prefers `written` over `heard` (natural logarithm), None where the sound was not asked.
    """

    start_word: int
    end_word: int
    heard: str
    written: str
    score: float
    decision: Decision
    why: str
    term: str = ""
    rivals: tuple[str, ...] = ()
    sound_nats: float | None = None


@dataclass(frozen=True, slots=True)
class Quantity:
    """A figure with its unit, as spoken.

    `value` (and `high` for a range) is in `unit`. `subject` names what it belongs to (part, fluid or fastener).
    `bound` is "at_least", "at_most" or "". `other_readings` holds rival values (same unit) that the sound or the
    words do not rule out: a quantity with any is doubtful. `si_value`/`si_high`/`si_unit` give the SI equivalent
    ("" and None where there is none or where the unit is ambiguous). `unit_heard` holds the words heard where the unit
    stands if they are no unit ("new demeters"); `unit_sure` is False where they may mean something else too.
    `unit_said` is False where nobody said the unit, here or in the sentence before. `role` is "found", "wanted" (by a
    book or the speaker), "limit" or "old" (of the part that came out) where the words tell it, else "". `subject_word`
    is the last word that names the subject, None where there is none.
    """

    id: str
    kind: str
    value: float
    high: float | None
    unit: str
    approximate: bool
    said: str
    start_word: int
    end_word: int
    start_ms: int
    subject: str = ""
    side: str = ""
    position: str = ""
    bound: str = ""
    thread: str = ""
    other_readings: tuple[float, ...] = ()
    si_value: float | None = None
    si_high: float | None = None
    si_unit: str = ""
    why: str = ""
    unit_heard: str = ""
    unit_sure: bool = True
    unit_said: bool = True
    role: str = ""
    subject_word: int | None = None


@dataclass(frozen=True, slots=True)
class Event:
    """What was done (or will be, must be, was not) to one part.

    `quantities` holds the ids of the quantities that belong to it. `sequence` numbers said assembly orders
    (1, 2, ...; 0 for none) and `step` is the place in that order, from 1. `doubt` holds words heard for which a
    likelier reading was taken, "" where there are none. `found` is what was found in looking, as it was said.
    """

    id: str
    action: str
    part: str
    status: Status
    side: str
    position: str
    condition: str
    finish: str
    count: int | None
    quantities: tuple[str, ...]
    tool: str
    said: str
    start_word: int
    end_word: int
    start_ms: int
    assembly: str = ""
    fluid: str = ""
    fastening: str = ""
    reason: str = ""
    applicability: str = ""
    sequence: int = 0
    step: int = 0
    why: str = ""
    doubt: str = ""
    found: str = ""


@dataclass(frozen=True, slots=True)
class PartMention:
    """A part that was presented, with its condition and finish, without anything being done to it."""

    part: str
    side: str
    position: str
    condition: str
    finish: str
    count: int | None
    said: str
    start_word: int
    end_word: int
    start_ms: int
    assembly: str = ""
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """A caution or a tip of the speaker's, with its part. `kind` is "caution" or "tip"."""

    kind: str
    part: str
    said: str
    start_word: int
    end_word: int
    start_ms: int
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class PartNumber:
    """The number by which a part is ordered, as it is written: "6302 2RS", "15x35x7", "WXD441"."""

    part: str
    side: str
    position: str
    number: str
    said: str
    start_word: int
    end_word: int
    start_ms: int


@dataclass(frozen=True, slots=True)
class Chapter:
    """A chapter starts at `start_ms` and lasts until the next one or the end of the recording."""

    start_ms: int
    title: str


@dataclass(frozen=True, slots=True)
class LooseEnd:
    """Something said to be still open.

    `kind`: provisional, loose, promised, one_side_only, not_closed, no_figure or waiting. `closed_by` is "" while
    open, else the id of the closing event ("e12"), or "RECORDING#e12" when a later recording closed it;
    `closed_ms` is that event's time in its own recording. `action` is what is still to be done (fill, torque).
    """

    kind: str
    part: str
    said: str
    start_ms: int
    closed_by: str = ""
    closed_ms: int | None = None
    side: str = ""
    position: str = ""
    start_word: int = 0
    end_word: int = 0
    event: str = ""
    action: str = ""
    doubt: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """Something in the content that a person should know. "check" and "caution" need one (exit status 1)."""

    level: Level
    rule: str
    message: str
    start_ms: int


@dataclass(frozen=True, slots=True)
class Settings:
    """What the user has declared. Empty `packs` means every shipped pack; `units` None means undeclared."""

    machine: str = ""
    packs: tuple[str, ...] = ()
    units: UnitSystem | None = None
    spelling: Spelling = "british"
    language: str = "en"


@dataclass(frozen=True, slots=True)
class BuildLog:
    """Everything known about one recording: what every output is made of."""

    recording: Recording
    words: tuple[Word, ...]
    corrections: tuple[Correction, ...] = ()
    quantities: tuple[Quantity, ...] = ()
    events: tuple[Event, ...] = ()
    mentions: tuple[PartMention, ...] = ()
    notes: tuple[Note, ...] = ()
    part_numbers: tuple[PartNumber, ...] = ()
    chapters: tuple[Chapter, ...] = ()
    loose_ends: tuple[LooseEnd, ...] = ()
    findings: tuple[Finding, ...] = ()
    segment_starts: tuple[int, ...] = ()
    settings: Settings = field(default_factory=Settings)
