"""Back to the sound where two wordings compete: garbled terms, figures that sound alike, text that nobody said."""

from pipeline.second_hearing.doubts import SecondHearing, mark_doubtful
from pipeline.second_hearing.figures import FigureDoubt
from pipeline.second_hearing.hear_again import hear_again

__all__ = ["FigureDoubt", "SecondHearing", "hear_again", "mark_doubtful"]
