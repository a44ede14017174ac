"""The vocabulary: shipped packs, the user's own terms and decisions, plain lists, and what was heard for terms."""

from pipeline.vocabulary.dialect import spoken_spelling
from pipeline.vocabulary.hearings import read_hearings, shipped_hearings
from pipeline.vocabulary.machine import with_machine
from pipeline.vocabulary.packs import load_vocabulary, pack_names, read_pack, read_terms
from pipeline.vocabulary.term_list import list_vocabulary, read_parts_csv, read_term_list
from pipeline.vocabulary.terms import Assembly, Machine, Term, Vocabulary, regular_plural, regular_singular
from pipeline.vocabulary.user import UserWords

__all__ = [
    "Assembly",
    "Machine",
    "Term",
    "UserWords",
    "Vocabulary",
    "list_vocabulary",
    "load_vocabulary",
    "pack_names",
    "read_hearings",
    "read_pack",
    "read_parts_csv",
    "read_term_list",
    "read_terms",
    "regular_plural",
    "regular_singular",
    "shipped_hearings",
    "spoken_spelling",
    "with_machine",
]
