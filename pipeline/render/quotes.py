"""The words that an entry rests on, with enough around them to be read: whole clauses, figures included."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from pipeline.punctuation import punctuated
from pipeline.records import BuildLog, Note, Settings, Token
from pipeline.tokens import bare, ends_sentence, written_tokens

# In words: how far a quote is widened on either side, how long it may become so, what is too short to be understood,
# and how far off a figure may stand.
_WIDEN, _LONGEST, _FEWEST, _FIGURE_WITHIN = 8, 30, 5, 16
_PAUSES = (",", ";", ":", "–", "—")
# A warning in so few words that does not name its part is told with the sentence before: "Don't run it like that."
_SHORT_WARNING = 10
_POINTS = frozenset(("it", "that", "them", "this", "those", "these", "one", "there"))
# A sentence of more words is hardly one: its clauses are quoted instead.
_LONGEST_SENTENCE = 60


@dataclass(frozen=True, slots=True)
class Quote:
    """Words as corrected, "…" where a clause is cut; `start_word` and `end_word` are the place of all of them."""

    text: str
    start_word: int
    end_word: int


class Quotes:
    """Quotes of one log."""

    def __init__(self, log: BuildLog) -> None:
        self._words = log.words
        self._tokens = written_tokens(log.words, log.corrections)
        self._ends = _sentence_ends(tuple(self._tokens), log.settings)
        self._starts = [token.start_word for token in self._tokens]
        self._places = {qty.id: (qty.start_word, qty.end_word) for qty in log.quantities}

    def of(self, start_word: int, end_word: int, figures: Sequence[str] = ()) -> Quote:
        """The clauses around some words, with the figures (by id) that were said with them nearby."""
        start, end = bisect_left(self._starts, start_word), bisect_left(self._starts, end_word)
        for first, last in sorted(self._places[key] for key in figures if key in self._places):
            left, right = bisect_left(self._starts, first), bisect_left(self._starts, last)
            if right > end and left - end <= _FIGURE_WITHIN and right - start <= _LONGEST:
                end = right
            elif left < start and start - right <= _FIGURE_WITHIN and end - left <= _LONGEST:
                start = left
        low, high = start, max(end, start + 1)
        while high < len(self._tokens) and high - end < _WIDEN and high - low < _LONGEST and not self._pauses(high - 1):
            high += 1
        while low > 0 and start - low < _WIDEN and high - low < _LONGEST:
            # "that's tight" alone says little: what stands before the comma is told too
            too_short = high - low < _FEWEST and low - 1 not in self._ends
            if self._pauses(low - 1) and not too_short:
                break
            low -= 1
        shown = self._tokens[low:high]
        if not shown:
            return Quote("", start_word, end_word)
        cut = "" if low == 0 or self._pauses(low - 1) else "…"
        more = "" if high == len(self._tokens) or self._pauses(high - 1) else "…"
        text = " ".join(token.text for token in shown).rstrip("".join(_PAUSES))
        return Quote(f"{cut}{text}{more}", shown[0].start_word, shown[-1].end_word)

    def sentence(self, start_word: int, end_word: int) -> Quote:
        """The whole sentence around some words: what is warned of may stand behind any of its commas."""
        low, high = bisect_left(self._starts, start_word), bisect_left(self._starts, end_word)
        if not low < high:
            return self.of(start_word, end_word)
        while low > 0 and low - 1 not in self._ends:
            low -= 1
        while high < len(self._tokens) and high - 1 not in self._ends:
            high += 1
        if high - low > _LONGEST_SENTENCE:
            return self.of(start_word, end_word)
        shown = self._tokens[low:high]
        return Quote(" ".join(token.text for token in shown), shown[0].start_word, shown[-1].end_word)

    def notes(self, notes: Iterable[Note]) -> tuple[Note, ...]:
        """Cautions and tips by whole sentences, each sentence once: what is a caution is no mere tip."""
        found: dict[tuple[int, int], Note] = {}
        for note in notes:
            quote = self._in_context(note, self.sentence(note.start_word, note.end_word))
            place = (quote.start_word, quote.end_word)
            if place not in found or (note.kind == "caution" and found[place].kind != "caution"):
                start_ms = self._words[quote.start_word].start_ms if self._words else note.start_ms
                found[place] = replace(note, said=quote.text, start_word=place[0], end_word=place[1], start_ms=start_ms)
        return tuple(found.values())

    def _in_context(self, note: Note, quote: Quote) -> Quote:
        """With the sentence before, where the words alone do not tell what they are about."""
        words, head = [bare(word) for word in quote.text.split()], note.part.lower().rpartition(" ")[2]
        points = not _POINTS.isdisjoint(words) and not (head and any(word.startswith(head) for word in words))
        if not quote.start_word or not points or len(words) > _SHORT_WARNING:
            return quote
        wider = self.sentence(quote.start_word - 1, quote.end_word)
        return wider if wider.start_word < quote.start_word else quote

    def _pauses(self, at: int) -> bool:
        return at in self._ends or self._tokens[at].text.endswith(_PAUSES)


@lru_cache(maxsize=32)
def _sentence_ends(tokens: tuple[Token, ...], settings: Settings) -> frozenset[int]:
    """Places of the tokens that end a sentence, put back where the words came without: a book asks more than once."""
    marked = punctuated(tokens, settings)
    return frozenset(place for place, token in enumerate(marked) if ends_sentence(token.text))
