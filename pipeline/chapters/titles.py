"""Names chapters after what is done in them, in words that a viewer would search for."""

from __future__ import annotations

import bisect
from collections import Counter
from collections.abc import Container, Sequence

from pipeline.chapters.evidence import NAMING_WORDS, opener_score, phrase_score
from pipeline.chapters.said_machine import said_machine
from pipeline.chapters.terms import TermMention
from pipeline.chapters.topics import (
    Candidate,
    find_candidates,
    part_names,
    phrase_mentions,
    stems_of,
    vocabulary_mentions,
)
from pipeline.chapters.words import stem, topic_words, turns
from pipeline.records import Event, Spelling, Token, Word
from pipeline.tokens import bare, ends_sentence
from pipeline.vocabulary import Vocabulary

TITLE_CHARACTERS = 60
_MOST_ITEMS = 3
# An assembly heads a title if it has this share of the salience of all parts, with two different parts.
_DOMINANT = 0.5
# What has less than this share of the salience of a chapter's first topic is left out of its title.
_FAR_BEHIND = 0.3
_INTRODUCTION_WORDS = 60
_REMAINDER_WORDS = 15
# Short sentences within so many words name what the chapter is about.
_HEAD_WORDS = 14


def title_case(text: str) -> str:
    """First letter in upper case; the rest stays, since terms have their own spelling.

    >>> title_case("o-ring and M8 stud")
    'O-ring and M8 stud'
    """
    return text[:1].upper() + text[1:]


def join_items(items: Sequence[str]) -> str:
    """
    >>> join_items(["shoes", "cam", "cable"]), join_items(["shoes", "cam"])
    ('shoes, cam and cable', 'shoes and cam')
    """
    return " and ".join(filter(None, [", ".join(items[:-1]), items[-1]]))


def _stems(text: str) -> set[str]:
    return {stem(bare(word)) for word in text.split()}


def _pick(candidates: Sequence[Candidate], head: str = "", by: str = "salience") -> list[Candidate]:
    """The first few that do not repeat each other's words, nor the head's, and are not far behind the first.

    `candidates` are in falling order of the field `by`.
    """
    picked: list[Candidate] = []
    lasts = Counter(stem(bare(one.name.split()[-1])) for one in candidates if " " in one.name)
    general = topic_words().general
    for candidate in candidates:
        words = _stems(candidate.name)
        if candidate.name in general and any(one.name not in general for one in candidates):
            continue
        if len(words) == 1 and lasts[next(iter(words))] > 1:
            continue  # of great wheel, escape wheel and warning wheel "wheel" tells nothing
        if words <= _stems(head) or any(words <= _stems(p.name) or _stems(p.name) <= words for p in picked):
            continue
        if getattr(candidate, by) < _FAR_BEHIND * getattr(candidates[0], by):
            continue
        picked.append(candidate)
        if len(picked) == _MOST_ITEMS:
            break
    return picked


def _short_name(name: str, head: str) -> str:
    """A part without the words that the head has already: "brake shoes" under "Rear brake" are "shoes"."""
    words = name.split()
    while len(words) > 1 and stem(bare(words[0])) in _stems(head):
        words = words[1:]
    return " ".join(words)


def _fitted(head: str, items: Sequence[Candidate]) -> str:
    """As many items as fit, in the order in which they come up."""
    best = ""
    for count in range(1, len(items) + 1):
        chosen = sorted(items[:count], key=lambda item: item.first)
        names = [_short_name(item.name, head) for item in chosen]
        text = f"{head}: {join_items(names)}" if head else title_case(join_items(names))
        if len(text) <= TITLE_CHARACTERS:
            best = text
    return best


def _assembly(candidates: Sequence[Candidate], vocabulary: Vocabulary, allowed: Container[str] | None) -> str:
    """Title of the assembly that most of a chapter's parts belong to, "" if there is none or the machine has none."""
    general = topic_words().general_assemblies
    shares: Counter[str] = Counter()
    parts: Counter[str] = Counter()
    total = 0.0
    for candidate in candidates[:8]:
        if candidate.term is None or candidate.term.kind not in ("part", "fluid"):
            continue
        total += candidate.salience
        if candidate.term.part_of and candidate.term.part_of not in general:
            shares[candidate.term.part_of] += candidate.salience  # type: ignore[assignment]
            parts[candidate.term.part_of] += 1
    for key, share in shares.most_common(1):
        if share >= _DOMINANT * total and parts[key] >= 2 and key in vocabulary.assemblies:
            if allowed is not None and key not in allowed:
                return ""
            return vocabulary.assemblies[key].title
    return ""


def _action(events: Sequence[Event], candidate: Candidate) -> str:
    """Gerund of what is mostly done to the candidate, "" unless that is said at least twice."""
    actions = Counter(
        event.action
        for event in events
        if event.status in ("done", "advised", "provisional") and _stems(event.part) == _stems(candidate.name)
    )
    for action, count in actions.most_common(1):
        if count >= 2 and count * 2 > actions.total():
            return topic_words().gerunds.get(action, "")
    return ""


def _wordings(
    candidates: Sequence[Candidate],
    events: Sequence[Event],
    vocabulary: Vocabulary,
    opening: str,
    allowed: Container[str] | None,
) -> list[str]:
    """Titles for one chapter, best first."""
    if not candidates:
        return []
    titles: list[str] = []
    picked = _pick(candidates)
    if opening:
        by_outlook = sorted(candidates, key=lambda candidate: (-candidate.outlook, candidate.first))
        titles.append(_fitted(opening, _pick(by_outlook, by="outlook")))
    head = _assembly(candidates, vocabulary, allowed)
    if head:
        # "Rear brake" says more than "Brakes".
        closer = (
            item.name for item in candidates if _stems(head) == _stems(item.name.split()[-1]) != _stems(item.name)
        )
        head = title_case(next(closer, head))
        titles.append(_fitted(head, _pick(candidates, head)))
    action = _action(events, picked[0])
    if action:
        same = [item.name for item in picked[1:] if _action(events, item) == action]
        titles.append(f"{action} the {join_items([picked[0].name, *same])}")
    titles.append(_fitted("", picked))
    titles += [_fitted("", candidates[skip : skip + 2]) for skip in range(len(candidates))]
    fit = (title for title in titles if title and len(title) <= TITLE_CHARACTERS)
    return [title for title in fit if title.lower() not in topic_words().verbs]


def _openings(tokens: Sequence[Token], starts: Sequence[int]) -> list[str]:
    """ "Introduction" and "Still to do" where the speaker says so, "" for every chapter in between."""
    openings = [""] * len(starts)
    if len(starts) > 1:
        keys = [bare(token.text) for token in tokens]
        said = turns()
        first = keys[: min(_INTRODUCTION_WORDS, starts[1])]
        if phrase_score(first, said.introductions, len(first)):
            openings[0] = "Introduction"
        last = keys[starts[-1] :]
        if phrase_score(last, said.remainders, _REMAINDER_WORDS):
            openings[-1] = "Still to do"
    return openings


def _heads(tokens: Sequence[Token], starts: Sequence[int]) -> set[int]:
    """Tokens of short sentences near the head of a chapter: "Right. Brakes, then." """
    heads: set[int] = set()
    for start, stop in zip(starts, [*starts[1:], len(tokens)], strict=True):
        begin = start
        for at in range(start, min(stop, start + _HEAD_WORDS)):
            if not ends_sentence(tokens[at].text):
                continue
            _, openers = opener_score([bare(token.text) for token in tokens[begin : at + 1]])
            if at + 1 - begin - openers <= NAMING_WORDS:
                heads.update(range(begin + openers, at + 1))
            begin = at + 1
    return heads


def _certainty(words: Sequence[Word], tokens: Sequence[Token]) -> list[float]:
    """How sure the recogniser was of each token; a correction that was made is certain."""
    return [
        words[token.start_word].probability if token.text == words[token.start_word].text else 1.0 for token in tokens
    ]


def _is_verb(mention: TermMention, tokens: Sequence[Token], ends: Container[int]) -> bool:
    """True for "seats" in "that seats everything": a word of action after who does it; at `ends` terms end."""
    if mention.end - mention.start > 1 or not mention.start:
        return False
    words = topic_words()
    if stem(bare(tokens[mention.start].text)) not in words.verbs:
        return False
    # "until the snap ring seats"
    return bare(tokens[mention.start - 1].text) in words.doers or mention.start in ends


def _machine(
    words: Sequence[Word],
    starts: Sequence[int],
    tokens: Sequence[Token],
    vocabulary: Vocabulary,
    options: Sequence[Candidate],
) -> str:
    """The machine's name where the first chapter is short and the machine is introduced in it; where that names no part
    at all, what sort of machine it is ("Mower", and not "Ride and boy")."""
    first = tokens[starts[1]].start_word if len(starts) > 1 else 0
    if not first or first > _INTRODUCTION_WORDS + _REMAINDER_WORDS:
        return ""
    said = said_machine([word.text for word in words[:first]], vocabulary)
    names_parts = any(option.term is not None for option in options)
    return title_case(said.name or ("" if names_parts else "".join(said.words[:1])))


def find_titles(
    words: Sequence[Word],
    tokens: Sequence[Token],
    starts: Sequence[int],
    mentions: Sequence[TermMention],
    events: Sequence[Event],
    vocabulary: Vocabulary,
    spelling: Spelling = "british",
    assemblies: Container[str] | None = None,
) -> list[str]:
    """A title for each chapter, distinct, at most 60 characters.

    `starts`: first token of each chapter; `assemblies`: those that may head a title, None for all.
    """
    named = part_names(tokens, events, mentions)
    covered = {at for mention in named for at in range(mention.at, mention.at + len(mention.name.split()))}
    mentions = [mention for mention in mentions if covered.isdisjoint(range(mention.start, mention.end))]
    taken = covered | {at for mention in mentions for at in range(mention.start, mention.end)}
    ends = {mention.end for mention in mentions if tokens[mention.end - 1].text[-1:].isalnum()}
    mentions = [mention for mention in mentions if not _is_verb(mention, tokens, ends)]
    phrases = phrase_mentions(tokens, taken, _certainty(words, tokens))
    nameable = sorted(
        [*vocabulary_mentions(mentions, spelling, assemblies), *named, *phrases], key=lambda mention: mention.at
    )
    first_words = [tokens[start].start_word for start in starts]
    by_chapter: list[list[Event]] = [[] for _ in starts]
    weights: Counter[tuple[int, str]] = Counter()
    for event in events:
        chapter = bisect.bisect_right(first_words, event.start_word) - 1
        by_chapter[max(0, chapter)].append(event)
        # what the vocabulary has goes by its name, anything else by its stems
        for key in {event.part, stems_of(event.part)}:
            weights[max(0, chapter), key] += 1
    bonus = {key: min(1.0, 0.3 * number) for key, number in weights.items()}
    candidates = find_candidates(nameable, starts, _heads(tokens, starts), bonus)
    openings = _openings(tokens, starts)
    machine = _machine(words, starts, tokens, vocabulary, candidates[0] if candidates else ())
    titles: list[str] = []
    for chapter, options in enumerate(candidates):
        wordings = _wordings(options, by_chapter[chapter], vocabulary, openings[chapter], assemblies)
        if machine and not chapter and not openings[0]:
            wordings.insert(0, machine)
        used = {title.lower() for title in titles}
        # what is said before the first part is named is the introduction
        nameless = f"Part {chapter + 1} of the work" if chapter or len(starts) == 1 else "Introduction"
        titles.append(next((w for w in wordings if w.lower() not in used), nameless))
    return titles
