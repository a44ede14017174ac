"""A vocabulary without terms, for tests that are about figures alone."""

from pipeline.correct import build_matcher
from pipeline.vocabulary import list_vocabulary

NO_TERMS = build_matcher(list_vocabulary([]))
