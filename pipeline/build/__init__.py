"""A folder of recordings of one machine: added to, checked, and written up as one book."""

from pipeline.build.book_files import write_book
from pipeline.build.checks import CheckLine, check_build
from pipeline.build.dates import parse_date, recorded_time
from pipeline.build.ends import loose_ends_of
from pipeline.build.folder import build_settings, build_vocabulary, start_build
from pipeline.build.recordings import Build, BuiltRecording, add_recording, built_recording, find_recording, read_build
from pipeline.build.sort_evidence import evidence_of

__all__ = [
    "Build",
    "BuiltRecording",
    "CheckLine",
    "add_recording",
    "build_settings",
    "build_vocabulary",
    "built_recording",
    "check_build",
    "evidence_of",
    "find_recording",
    "loose_ends_of",
    "parse_date",
    "read_build",
    "recorded_time",
    "start_build",
    "write_book",
]
