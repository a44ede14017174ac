"""The corrected text as a view over the original words. Originals stay where they are; indexes never move."""

from collections.abc import Iterable, Sequence

from pipeline.records import Correction, Token, Word

_EDGE = "\"'“”‘’()[]{}<>.,;:!?…–—-"


def bare(text: str) -> str:
    """Lower-case form of a word without the punctuation at its edges: what stages compare.

    >>> bare("Valve,"), bare("(M8)"), bare("3/8"), bare("'kay")
    ('valve', 'm8', '3/8', 'kay')
    """
    return text.strip(_EDGE).lower().replace("’", "'")


def same_letters(one: str, other: str) -> bool:
    """True where two wordings differ in spaces, hyphens, punctuation or capitals alone.

    >>> same_letters("gear box,", "Gearbox"), same_letters("gear boxes", "gearbox")
    (True, False)
    """
    first, second = ("".join(filter(str.isalnum, text.lower())) for text in (one, other))
    return first == second


def ends_sentence(text: str) -> bool:
    """True where the word carries sentence-final punctuation.

    >>> ends_sentence("off."), ends_sentence("2.5"), ends_sentence("off,")
    (True, False, False)
    """
    return text.rstrip("\"'”’)]").endswith((".", "!", "?", "…"))


def sentence_numbers(tokens: Sequence[Token]) -> list[int]:
    """The number of the sentence that each token stands in, from 0."""
    numbers, number = [], 0
    for token in tokens:
        numbers.append(number)
        number += ends_sentence(token.text)
    return numbers


def written_tokens(words: Sequence[Word], corrections: Iterable[Correction] = ()) -> tuple[Token, ...]:
    """Lays the automatic corrections over the words.

    Each token of a replaced stretch stands for the whole stretch (`start_word`, `end_word`), since the words of
    a garble and of its correction need not pair up; its time is its share of the stretch.
    """
    applied = {corr.start_word: corr for corr in corrections if corr.decision == "auto"}
    tokens: list[Token] = []
    index = 0
    while index < len(words):
        corr = applied.get(index)
        if corr is None:
            word = words[index]
            tokens.append(Token(word.text, index, index + 1, word.start_ms, word.end_ms))
            index += 1
            continue
        start_ms, end_ms = words[corr.start_word].start_ms, words[corr.end_word - 1].end_ms
        pieces = corr.written.split()
        for place, piece in enumerate(pieces):
            piece_start = start_ms + (end_ms - start_ms) * place // len(pieces)
            piece_end = start_ms + (end_ms - start_ms) * (place + 1) // len(pieces)
            tokens.append(Token(piece, corr.start_word, corr.end_word, piece_start, piece_end))
        index = corr.end_word
    return tuple(tokens)


def line_words(text: str) -> tuple[Word, ...]:
    """Words of a plain line of text, for the filters. Each word gets the nominal time of 400 ms."""
    return tuple(Word(piece, i * 400, i * 400 + 400) for i, piece in enumerate(text.split()))
