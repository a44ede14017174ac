"""Words + corrections -> cues -> WebVTT and SubRip.

Limits, after the BBC Subtitle Guidelines. Hard, without exception: lines of at most 37 characters, at most two;
cues never overlap; none comes later than its first word or goes before its last word is over; none comes more than
1.5 s early or hangs on for more than 1.5 s; the gap to the next cue is none or at least 1 s; a figure and its unit
stand on one line (on two lines of one cue where they are longer than a line). A cue stands for at least 0.3 s a word
and 5/6 s: where the speaker is quicker than that the words stay verbatim, and the cue gets all the time that the
other rules leave.
"""

from pipeline.captions.cues import Cue, find_cues
from pipeline.captions.writers import CAPTION_WRITERS, captions_srt, captions_vtt

__all__ = ["CAPTION_WRITERS", "Cue", "captions_srt", "captions_vtt", "find_cues"]
