"""Numbers of the special tokens of the multilingual Whisper models. No part of the installed package."""

END, PREVIOUS, NO_TIMESTAMPS = 50257, 50361, 50363
FIRST_TIME = 50364
"""The piece's start; each token behind it is 20 ms later."""
START = (50258, 50259, 50359)
"""Start of the transcript, English, to be transcribed."""
