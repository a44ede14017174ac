"""Integer milliseconds to text and back. The only place that formats or parses a time."""

import re

_CLOCK = re.compile(r"^(?:(\d+):)?(\d{1,3}):(\d{1,2})(?:[.,](\d{1,3}))?$")


def _split(time_ms: int) -> tuple[int, int, int, int]:
    if time_ms < 0:
        raise ValueError(f"a time cannot be negative: {time_ms} ms")
    seconds, milliseconds = divmod(time_ms, 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return hours, minutes, seconds, milliseconds


def ms_to_clock(time_ms: int) -> str:
    """Text for people, whole seconds rounded down: `2:31`, `1:02:03`.

    >>> ms_to_clock(151_900), ms_to_clock(3_723_000)
    ('2:31', '1:02:03')
    """
    hours, minutes, seconds, _ = _split(time_ms)
    return f"{hours}:{minutes:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"


def ms_to_vtt(time_ms: int) -> str:
    """WebVTT timestamp with hours always written: `00:02:31.900` (W3C WebVTT, "WebVTT timestamp")."""
    hours, minutes, seconds, milliseconds = _split(time_ms)
    return f"{hours:02}:{minutes:02}:{seconds:02}.{milliseconds:03}"


def ms_to_srt(time_ms: int) -> str:
    """SubRip timestamp: `00:02:31,900`."""
    return ms_to_vtt(time_ms).replace(".", ",")


def clock_to_ms(text: str) -> int:
    """Milliseconds of `m:ss`, `h:mm:ss`, `mm:ss.mmm` or `h:mm:ss,mmm`.

    Raises:
        ValueError: the text is not such a time, or its minutes (beside hours) or seconds are 60 or more.

    >>> clock_to_ms("2:31"), clock_to_ms("1:02:03.5")
    (151000, 3723500)
    """
    match = _CLOCK.match(text.strip())
    if match is None:
        raise ValueError(f"not a time: {text!r}")
    hours = int(match[1] or 0)
    minutes, seconds = int(match[2]), int(match[3])
    milliseconds = int((match[4] or "0").ljust(3, "0"))
    if seconds > 59 or (match[1] is not None and minutes > 59):
        raise ValueError(f"not a time: {text!r}")
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + milliseconds
