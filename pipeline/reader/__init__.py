"""The reader: a small transformer that reads a text for what is told of which part.

It is a witness, not a judge: events and loose ends weigh what it says beside what the sentence rules say.
"""

from __future__ import annotations

from pipeline.reader.network import Reader, load_reader
from pipeline.reader.reading import Reading

__all__ = ["Reader", "Reading", "load_reader"]
