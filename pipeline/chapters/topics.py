"""What a chapter's title may name: the vocabulary's terms said in it, and noun phrases for what no vocabulary has."""

from __future__ import annotations

import bisect
import math
from collections import Counter
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass

from pipeline.chapters.terms import TermMention
from pipeline.chapters.words import has_topic, stem, topic_words
from pipeline.records import Event, Spelling, Token
from pipeline.tokens import bare, ends_sentence
from pipeline.vocabulary import Term, regular_plural

# Weight of a vocabulary term by its kind: parts and fluids are what a viewer looks for.
_KIND_WEIGHTS = {
    "part": 1.6,
    "fluid": 1.4,
    "fastener": 0.7,
    "material": 0.6,
    "finish": 0.6,
    "measure": 0.5,
    "tool": 0.4,
}
_PHRASE_WEIGHT = 0.8
_LONE_WORD_WEIGHT = 0.35
# A part of several words that no vocabulary has, as the work names it.
_PART_WEIGHT = 1.8
# A term of another sort of machine's, where no work names it ("not polished to a mirror" in a clock).
_FOREIGN = 0.2
# A phrase that is said once, names no part of the work and opens nothing is likely to be talk ("the afternoon").
_TALK = 0.25


@dataclass(frozen=True, slots=True)
class Mention:
    """Something nameable at token `at`: `name` as a title writes it, `key` what counts as the same thing.

    `foreign`: a term of what this machine does not have, so that something else may be meant."""

    at: int
    key: str
    name: str
    weight: float
    term: Term | None = None
    foreign: bool = False


@dataclass(frozen=True, slots=True)
class Candidate:
    """Something a chapter may be named after.

    `salience`: how much it belongs to this chapter and no other; `outlook`: how much this chapter says of it, and
    others too, as an introduction does.
    """

    key: str
    name: str
    salience: float
    outlook: float
    first: int
    term: Term | None = None


def term_name(mention: TermMention, spelling: Spelling) -> str:
    """What was said, in the vocabulary's spelling; the American name for American readers."""
    term = mention.term
    if spelling == "american" and term.american:
        if mention.wording == term.name:
            return term.american
        if mention.wording in (term.plural, regular_plural(term.name)):
            return regular_plural(term.american)
    return mention.wording


def vocabulary_mentions(
    mentions: Sequence[TermMention], spelling: Spelling, assemblies: Container[str] | None
) -> list[Mention]:
    """Mentions of terms that a title can use; actions name no thing, and general hardware counts for little.

    `assemblies` are those that the machine may have, None where that is not known.
    """
    general = topic_words().general
    found = []
    for mention in mentions:
        weight = _KIND_WEIGHTS.get(mention.term.kind)
        if weight is None:
            continue
        weight *= 0.25 if mention.wording in general else 1.25 if mention.end - mention.start > 1 else 1.0
        term = mention.term if mention.plain else None
        foreign = assemblies is not None and bool(mention.term.part_of) and mention.term.part_of not in assemblies
        found.append(Mention(mention.start, mention.term.name, term_name(mention, spelling), weight, term, foreign))
    return found


def stems_of(name: str) -> str:
    """What counts as the same thing in singular and plural."""
    return " ".join(map(stem, name.lower().split()))


def part_names(tokens: Sequence[Token], events: Sequence[Event], mentions: Sequence[TermMention]) -> list[Mention]:
    """Where a part that no vocabulary has by its full name is named: the "suspension spring" of a clock, of whose words
    each alone would say something else."""
    terms = {tuple(map(stem, bare(mention.wording).split())) for mention in mentions}
    names = {tuple(stems_of(event.part).split()) for event in events}
    names = {name for name in names if len(name) > 1 and name not in terms}
    keys = [bare(token.text) for token in tokens]
    stems = [stem(key) for key in keys]
    found: list[Mention] = []
    at = 0
    while at < len(keys):
        length = next((n for n in (4, 3, 2) if tuple(stems[at : at + n]) in names), 0)
        if length and not any(token.text[-1:] in ".,;:!?" for token in tokens[at : at + length - 1]):
            words = keys[at : at + length]
            found.append(Mention(at, stems_of(" ".join(words)), " ".join(words), _PART_WEIGHT))
        at += length or 1
    return found


def _is_noun_like(word: str) -> bool:
    words = topic_words()
    if not has_topic(word) or word in words.verbs or not word.replace("-", "").replace("'", "").isalpha():
        return False
    return not word.endswith(("ing", "ed", "ly", "n't", "'s", "'re", "'ll", "'ve")) or word in (
        "bearing",
        "ring",
        "housing",
    )


def phrase_mentions(tokens: Sequence[Token], taken: set[int], certainty: Sequence[float]) -> list[Mention]:
    """Runs of at most three words that look like nouns. `taken`: tokens of terms; `certainty` of each token, 0 to 1.

    Candidate phrases between stop words, after Rose and others, "Automatic keyword extraction from individual
    documents" (2010); a determiner in front makes a noun far more likely.
    """
    general = topic_words().general
    keys = [bare(token.text) for token in tokens]
    found: list[Mention] = []
    at = 0
    while at < len(keys):
        end = at
        while end < len(keys) and end - at < 3 and end not in taken and _is_noun_like(keys[end]):
            end += 1
            if tokens[end - 1].text[-1:] in ".,;:!?":
                break
        if end == at:
            at += 1
            continue
        if end == at + 1 and at > 0 and keys[at - 1] in topic_words().doers and keys[at].endswith("s"):
            at = end  # "until it cools"
            continue
        weight = _PHRASE_WEIGHT if at > 0 and keys[at - 1] in topic_words().determiners else _LONE_WORD_WEIGHT
        weight *= min(certainty[at:end])
        if all(piece in general for piece in keys[at:end]):
            weight *= 0.3
        if any(_is_proper_name(tokens, place) for place in range(at, end)):
            weight *= 0.2
        found.append(Mention(at, stems_of(" ".join(keys[at:end])), " ".join(keys[at:end]), weight))
        at = end
    return found


def _is_proper_name(tokens: Sequence[Token], at: int) -> bool:
    """A capital inside a sentence: the name of the machine or of a town tells no chapter from another."""
    return at > 0 and tokens[at].text[:1].isupper() and not ends_sentence(tokens[at - 1].text)


def find_candidates(
    mentions: Sequence[Mention],
    starts: Sequence[int],
    heads: set[int],
    weights: Mapping[tuple[int, str], float],
) -> list[list[Candidate]]:
    """Candidates of each chapter, most salient first.

    `starts`: first token of each chapter; `heads`: tokens of opening sentences that are mere names.

    Salience is term frequency times inverse chapter frequency (Sparck Jones 1972), more for what the chapter opens
    with, most of all what its first short sentence is about ("Plugs."); `weights` adds what events say, by chapter
    and key.
    """
    counts: list[Counter[str]] = [Counter() for _ in starts]
    said: dict[tuple[int, str], list[Mention]] = {}
    for mention in mentions:
        chapter = bisect.bisect_right(starts, mention.at) - 1
        counts[chapter][mention.key] += 1
        said.setdefault((chapter, mention.key), []).append(mention)
    spread = Counter(key for counter in counts for key in counter)
    result: list[list[Candidate]] = [[] for _ in starts]
    for (chapter, key), places in said.items():
        rarity = math.log((len(starts) + 1) / (spread[key] + 0.3))
        weight = max(mention.weight for mention in places)
        # "Dark green." tells of what it is painted, and is not what it is all about
        in_head = any(
            mention.at in heads for mention in places if mention.term is None or mention.term.kind != "finish"
        )
        strange = all(mention.term is None for mention in places) and (chapter, key) not in weights
        told = (chapter, key) in weights or (chapter, stems_of(places[0].name)) in weights
        if len(places) == 1 and weight <= _LONE_WORD_WEIGHT and not in_head and not told:
            continue
        if places[0].foreign and not told:
            weight *= _FOREIGN
        if len(places) == 1 and strange and not in_head:
            weight *= _TALK
        first = places[0].at - starts[chapter]
        amount = weight * math.log1p(len(places)) * (1 + weights.get((chapter, key), 0.0))
        amount *= 3.0 if in_head else _opening_weight(first)
        name = Counter(mention.name for mention in places).most_common(1)[0][0]
        result[chapter].append(
            Candidate(key, name, amount * rarity, amount * spread[key], places[0].at, places[0].term)
        )
    for candidates in result:
        candidates.sort(key=lambda candidate: (-candidate.salience, candidate.first))
    return result


def _opening_weight(words_before: int) -> float:
    """What is named at the head of a chapter is what it is about."""
    return 2.0 if words_before < 8 else 1.4 if words_before < 25 else 1.0
