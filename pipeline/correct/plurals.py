"""Terms of which there are many and that were heard as if something belonged to them ("the damper's were changed").

Both sound the same. What can only be said of many tells them apart: nothing that one thing has, or is, goes on with it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.correct.forms import heard_key
from pipeline.correct.matcher import Matcher
from pipeline.correct.put_beside import put_beside
from pipeline.correct.rewrite import written_form
from pipeline.correct.windows import Heard
from pipeline.records import Correction, Word
from pipeline.tokens import bare

_OF_MANY = frozenset(("are", "were", "have", "aren't", "weren't", "haven't"))
_SURE = 0.95


def with_plurals(
    words: Sequence[Word], heard: Heard, matcher: Matcher, corrections: Sequence[Correction]
) -> list[Correction]:
    """The corrections with those of terms that were said of many; what was made without asking stays."""

    def is_wanted(many: Correction) -> bool:
        return (heard_key(many.heard.split()), many.term) not in matcher.decisions.rejected

    return put_beside(corrections, _said_of_many(words, heard, matcher), is_wanted)


def is_said_of_many(heard: Heard, end: int) -> bool:
    """Whether the words before `end`, which end as if something belonged to them, can only be many.

    Not where the sentence has said such a thing of something else before: "the pads are fine but the trailer's are
    worn" leaves the second pads out.
    """
    if not _is_marked(heard, end - 1) or end == len(heard.texts) or heard.clause[end] != heard.clause[end - 1]:
        return False
    if heard.sentence[end] != heard.sentence[end - 1] or bare(heard.texts[end]) not in _OF_MANY:
        return False
    first = end
    while first > 0 and heard.sentence[first - 1] == heard.sentence[end]:
        first -= 1
    return _OF_MANY.isdisjoint(map(bare, heard.texts[first:end]))


def _is_marked(heard: Heard, place: int) -> bool:
    return heard.possessive[place] and bare(heard.texts[place]).replace("’", "'").endswith("'s")


def _said_of_many(words: Sequence[Word], heard: Heard, matcher: Matcher) -> Iterator[Correction]:
    for term, places in heard.terms_said.items():
        for start in places:
            end = start + int(heard.taken_length[start])
            if not is_said_of_many(heard, end):
                continue
            said = tuple(heard.strip.window_text(start, end).replace("-", " ").split())
            many = int(matcher.form_other[matcher.exact[said]]) if said in matcher.exact else -1
            text = " ".join(word.text for word in words[start:end])
            if many < 0 or not matcher.form_plural[many]:
                continue
            yield Correction(
                start_word=start,
                end_word=end,
                heard=text,
                written=written_form(words[start:end], matcher.forms[many].text, False),
                score=_SURE,
                decision="auto",
                why=f"“{bare(words[end].text)}” is said of more than one",
                term=matcher.terms[term].name,
            )
