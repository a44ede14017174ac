"""Words + events -> chapters, and the file formats of chapters."""

from pipeline.chapters.evidence import opener_length
from pipeline.chapters.find import chapter_findings, find_chapters
from pipeline.chapters.formats import CHAPTER_WRITERS
from pipeline.chapters.said_machine import said_machine
from pipeline.chapters.terms import TermMention, find_terms, term_spans
from pipeline.chapters.words import topic_words

__all__ = [
    "CHAPTER_WRITERS",
    "TermMention",
    "chapter_findings",
    "find_chapters",
    "find_terms",
    "opener_length",
    "said_machine",
    "term_spans",
    "topic_words",
]
