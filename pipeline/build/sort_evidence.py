"""What the recordings of a build tell of the sort of its machine: each page stands under the headings of all."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from pipeline.build.recordings import BuiltRecording
from pipeline.records import Settings
from pipeline.render import SortEvidence
from pipeline.vocabulary import Vocabulary


def evidence_of(
    recordings: Iterable[BuiltRecording], settings: Settings, vocabulary: Vocabulary
) -> dict[str, SortEvidence]:
    """What each recording tells, by the SHA-256 of its bytes; the machine has the name that the build gives it now."""
    return {
        recording.log.recording.sha256: SortEvidence.by(replace(recording.log, settings=settings), vocabulary)
        for recording in recordings
    }
