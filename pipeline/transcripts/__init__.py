"""Timed transcripts made elsewhere -> Transcript. One reader per file format, one table of readers."""

from pipeline.transcripts.read import READERS, is_transcript, read_transcript

__all__ = ["READERS", "is_transcript", "read_transcript"]
