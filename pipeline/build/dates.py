"""When a recording was made: what puts the recordings of a build in order."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Literal

import av

from pipeline.errors import WitnessmarkError

DatedBy = Literal["user", "media", "name", "file", "added"]

_DAY = r"(?<!\d)((?:19|20)\d\d)([-_.]?)(\d\d)\2(\d\d)"
_HOUR = r"[-_ T.]{1,2}([0-2]\d)[-_.:h]?([0-5]\d)(?:[-_.:]?[0-5]\d(?:\d{3})?)?"  # seconds and thousandths do not count
_IN_NAME = re.compile(f"{_DAY}(?:{_HOUR})?(?!\\d)")
# A camera whose clock was never set says 1904 (the epoch of MPEG-4), 1970 (that of Unix) or 1980 (that of FAT).
_FIRST_YEAR = 1990


def recorded_time(media: Path) -> tuple[datetime, DatedBy]:
    """When the file was recorded, in local time, and what says so.

    The container's own creation time is best; then a date in the file's name, since copying a file changes the
    time of the file, which comes last.

    Raises:
        WitnessmarkError: the file is not there.
    """
    try:
        modified = datetime.fromtimestamp(media.stat().st_mtime).replace(microsecond=0)
    except (OSError, OverflowError, ValueError) as error:
        raise WitnessmarkError(f"cannot read {media}: {getattr(error, 'strerror', error)}; check its name") from error
    latest = datetime.now() + timedelta(days=2)
    for text in _creation_times(media):
        created = _local(text)
        if created and created.year >= _FIRST_YEAR and created <= latest:
            return created, "media"
    named = time_in_name(media.name)
    if named:
        # A name with only the day: the file's clock tells the hour, if it is of that day.
        on_that_day = named == datetime.combine(named.date(), datetime.min.time()) and modified.date() == named.date()
        return (modified if on_that_day else named), "name"
    return modified, "file"


def time_in_name(name: str) -> datetime | None:
    """The date in a file name, year first (any other order can be read two ways), with the hour if it follows.

    >>> time_in_name("VID_20310517_143005.mp4"), time_in_name("day 3.wav")
    (datetime.datetime(2031, 5, 17, 14, 30), None)
    """
    for match in _IN_NAME.finditer(name):
        year, _, month, day, hour, minute = match.groups()
        try:
            return datetime(int(year), int(month), int(day), int(hour or 0), int(minute or 0))
        except ValueError:
            continue
    return None


def parse_date(text: str) -> datetime:
    """A date as people give it on the command line: 2031-05-17, "2031-05-17 14:30".

    Raises:
        WitnessmarkError: it is not such a date.
    """
    try:
        return _naive(datetime.fromisoformat(text.strip()))
    except (ValueError, OverflowError) as error:
        raise WitnessmarkError(f'{text!r} is not a date; write it as 2031-05-17 or "2031-05-17 14:30"') from error


def _creation_times(media: Path) -> Iterator[str]:
    try:
        with av.open(str(media)) as container:
            for tags in (container.metadata, *(stream.metadata for stream in container.streams)):
                yield from (tags[key] for key in ("creation_time", "date") if key in tags)
    except (av.error.FFmpegError, OSError, ValueError):
        return


def _local(text: str) -> datetime | None:
    try:
        return _naive(datetime.fromisoformat(text.strip()))
    except (ValueError, OverflowError):
        return None


def _naive(moment: datetime) -> datetime:
    """Local wall-clock time without its zone, to the second: what people write in a diary."""
    return (moment.astimezone() if moment.tzinfo else moment).replace(tzinfo=None, microsecond=0)
