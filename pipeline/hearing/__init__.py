"""Sound to words. `hear` is the way in; everything about the speech model stays in this package."""

from pipeline.hearing.listen import Hearing, hear
from pipeline.hearing.model import ModelPlace, default_model, resolve_model
from pipeline.hearing.sound import Sound, read_sound
from pipeline.hearing.speech_model import SpeechModel

__all__ = ["Hearing", "ModelPlace", "Sound", "SpeechModel", "default_model", "hear", "read_sound", "resolve_model"]
