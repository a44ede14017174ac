"""Sound to words. `hear` is the way in; everything about the speech model stays in this package."""

from pipeline.hearing.listen import Hearing, hear
from pipeline.hearing.model import default_model, resolve_model
from pipeline.hearing.sound import Sound, read_sound

__all__ = ["Hearing", "Sound", "default_model", "hear", "read_sound", "resolve_model"]
