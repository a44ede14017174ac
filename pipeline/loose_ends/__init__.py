"""Loose ends: what was said to be temporary, loose, left for later, done on one side only or opened and not closed."""

from pipeline.loose_ends.closing import close_loose_ends
from pipeline.loose_ends.finding import find_loose_ends
from pipeline.loose_ends.names import PartNames

__all__ = ["PartNames", "close_loose_ends", "find_loose_ends"]
