"""Words + events -> chapters, and the file formats of chapters."""

from pipeline.chapters.find import chapter_findings, find_chapters
from pipeline.chapters.formats import CHAPTER_WRITERS
from pipeline.chapters.terms import term_spans

__all__ = ["CHAPTER_WRITERS", "chapter_findings", "find_chapters", "term_spans"]
