"""Cautions and tips of the speaker, with the part they are about."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.reading import PAUSE, SENTENCE
from pipeline.events.rules import Rules
from pipeline.events.warned import BODIES, LEADING, comes_of_it, hurts, warns
from pipeline.records import Note, Token

_LONGEST = 30
_SHORT = 7
_WERE = frozenset(("was", "were", "been"))
_NAMING = frozenset(("a", "an", "the", "with", "on", "in", "to", "by", "without", "your", "any", "from", "under"))
_FOUND, _RISKS = frozenset({"that", "this"}), frozenset({"if", "when", "and", "or", "then", "not", "never"})
_TELLERS = frozenset(["i", "we", "it", "they", "he", "she", "have", "had", "has", "will", "did", "not", "that", "been"])
# What may stand between the "never" or "do not" of a command and its verb.
_AMONG = frozenset(
    ("you", "ever", "just", "even", "go", "be", "get", "over", "try", "start", "and", "under", "only", "never")
)  # fmt: skip
# Where a clause that forbids ends.
_CLOSING = frozenset(("because", "so", "but", "or", "until", "before"))
# "do not worry", "never mind", "do not ask me": said to the viewer, and no warning.
_CHATTER = frozenset(
    ("know", "think", "worry", "care", "mind", "see", "ask", "believe", "remember", "judge", "laugh", "tell", "say",
     "need", "want", "like", "write", "panic", "me", "blame", "bother", "have", "forget", "hesitate",
     "matter")
)  # fmt: skip
# "don't be writing to me about that"
_CHATTING = frozenset(("asking", "blaming", "laughing", "telling", "thinking", "worrying", "writing"))
# "the nearside one's dry as a bone", "this is my opinion": nothing that advice is about.
_NO_THING = frozenset(
    ("bone", "boss", "change", "crack", "fault", "gritty", "important", "main", "mess", "opinion", "story", "time",
     "video", "way")
)  # fmt: skip
# "top tip", "a quick tip": advice, and no end of a needle.
_SORTS_OF_TIP = frozenset(("top", "good", "quick", "little", "handy", "useful", "pro", "hot", "my", "another", "one"))
_NOT_TO_DO = frozenset(("the", "a", "an", "same", "been", "like", "is", "was", "that", "this", "my"))
_LISTENERS = frozenset(("all", "everybody", "everyone", "folks", "friends", "guys", "lads", "now"))
_STATES = frozenset(("'s", "is", "are", "was", "were", "has", "have", "had", "be", "been"))
_SOMEBODY = frozenset(("i", "we", "somebody", "someone", "he", "they", "had"))
_PLACING = frozenset(("from", "of", "at", "to", "with", "into", "by"))
_BODY = frozenset(("thumb", "finger", "hand", "eye", "skin", "arm", "foot", "hair", "sleeve", "face"))
_SPEAKERS = frozenset(("i", "we"))
_LOOKS_ON = ("let", "me")
# "don't beat on it": behind a verb that no list has, and what is not forbidden so ("don't matter that it's black").
_BEHIND = frozenset(
    ("the", "it", "them", "that", "these", "those", "on", "at", "against", "with", "your", "into", "near")
)
_NO_COMMANDS = frozenset(("seem", "mean", "belong", "feel", "look", "appear", "sound", "deal", "work"))
# Words that point back at what was named before, and words that open the name of something else.
_POINTING = frozenset(("it", "them", "they", "that", "those", "these"))
_NAMING_ELSE = frozenset(("the", "a", "an", "your", "my", "his", "her", "any", "this"))


def find_notes(scan: Scan, rules: Rules, tokens: Sequence[Token]) -> list[Note]:
    """One note a sentence at most; a caution goes before a tip."""
    notes: list[Note] = []
    covered = 0
    for at in range(len(scan.text)):
        if at < covered:
            continue
        kind = next((kind for kind in ("caution", "tip") if rules.cues[kind].at(scan.text, at)), "")
        if kind and (_is_told(scan, at) or _is_chat(scan, at)):
            kind = ""
        if not kind and (_forbids(scan, rules, at) or warns(scan, rules, at)):
            kind = "caution"
        if not kind:
            continue
        start, end = _sentence(scan, at)
        if _is_finding(scan, start, end, at):
            continue
        if kind == "tip" and (_is_own_plan(scan, start, at) or _is_question(scan, tokens, end)):
            continue
        harmful = (rules.cues["caution"].at(scan.text, spot) or hurts(scan, spot) for spot in range(at, end))
        if kind == "tip" and any(harmful):
            kind = "caution"
        first, last = scan.units[start].token, scan.units[end - 1].token
        part = _part(scan, start, end, at)
        said = " ".join(token.text for token in tokens[first : last + 1])
        notes.append(Note(kind, part, said, tokens[first].start_word, tokens[last].end_word, tokens[first].start_ms))
        covered = end
    return notes


def _is_told(scan: Scan, at: int) -> bool:
    """ "I never", "I always thought", "it never leaked": a story, not advice."""
    before = scan.text[at - 1] if at and not scan.gap[at] else ""
    if scan.text[at : at + 2] in (["watch", "that"], ["watch", "the"]):
        return before == "to"
    return before in _TELLERS and scan.text[at] in ("never", "always", "do", "careful", "should")


def _is_chat(scan: Scan, at: int) -> bool:
    """A cue that warns of nothing where it stands: "till then, take care", "never mind the mess", "the needle's tip",
    "always the same story", "otherwise I'll forget", "don't forget, I did"."""
    text = scan.text
    before = text[at - 1] if at and not scan.gap[at] else ""
    after = text[at + 1] if at + 1 < len(text) else ""
    if text[at : at + 2] == ["take", "care"]:
        start, end = _sentence(scan, at)
        closes = at + 2 >= end or text[at + 2] in _LISTENERS
        return closes and not any(phrase.is_part and start <= phrase.start < end for phrase in scan.phrases)
    if text[at : at + 3] == ["do", "not", "forget"]:
        return (
            at + 3 >= len(text) or scan.gap[at + 3] >= SENTENCE or (scan.gap[at + 3] > 0 and text[at + 3] in _SPEAKERS)
        )
    if text[at] == "tip":
        opens = not before and (not after or scan.gap[at + 1] > 0 or after in ("for", "is", "here", "number"))
        return not opens and before not in _SORTS_OF_TIP
    if text[at] == "dangerous":  # "it's not dangerous"
        return "not" in text[max(0, at - 2) : at]
    if text[at] == "always":
        return before in _STATES or after in _NOT_TO_DO
    return (text[at] == "mind" and before == "never") or (text[at] == "otherwise" and after in _SPEAKERS)


def _forbids(scan: Scan, rules: Rules, at: int) -> bool:
    """ "never open the door", "don't you ever get under a car", "do not set them on the bench", "so don't"."""
    text = scan.text
    never = text[at] == "never"
    if not never and text[at : at + 2] != ["do", "not"]:
        return False
    before = text[at - 1] if at else ""
    opens = not at or scan.gap[at] > 0
    if not opens and before not in LEADING:
        return False
    verb = first = at + (1 if never else 2)
    if verb >= len(text) or scan.gap[verb] >= SENTENCE:  # "it'll eat the bronze, so don't."
        return not never and before == "so"
    while verb < len(text) - 1 and text[verb] in _AMONG and not scan.gap[verb]:
        verb += 1
    if text[verb] in _CHATTER | _CHATTING or tuple(text[verb : verb + 2]) == _LOOKS_ON or scan.gap[verb] >= PAUSE:
        return False
    found = rules.verbs.at(text, verb)
    if found and any("base" in reading.tags for reading in found[1]):
        return True
    if not found and not never and opens and text[verb] not in _NO_COMMANDS | _NAMING:
        return verb + 1 < len(text) and text[verb + 1] in _BEHIND and not scan.gap[verb + 1]
    return verb > first or (never and opens and text[verb] in _NAMING)


def forbidden(scan: Scan, rules: Rules) -> frozenset[int]:
    """The units of clauses that say what must never be done, and what would come of it: nothing in them was done or is
    to be."""
    found: set[int] = set()
    for at in range(len(scan.text)):
        if scan.text[at] in ("never", "do") and _forbids(scan, rules, at):
            end = at + 2
            while end < len(scan.text) and not scan.gap[end] and scan.text[end] not in _CLOSING:
                end += 1
            found.update(range(at, comes_of_it(scan, end)))
    return frozenset(found)


def _is_finding(scan: Scan, start: int, end: int, at: int) -> bool:
    """ "So that is too much.", "the screw was too long": what was found, and no warning."""
    words = scan.text[start:end]
    if scan.text[at] != "too" or _RISKS & {*words}:
        return False
    if not _SOMEBODY.isdisjoint(words) and "you" not in words:  # "somebody had it way too loose"
        return True
    judged = len(words) <= _SHORT and bool(_FOUND & {*words})
    return judged or not _WERE.isdisjoint(scan.text[max(start, at - 2) : at])


def _is_own_plan(scan: Scan, start: int, at: int) -> bool:
    """ "let me take a photo first", "I'm giving it a tap to make sure": what the speaker does, and no advice."""
    text = scan.text
    if text[max(0, at - 2) : at] == ["let", "me"]:
        return True
    if text[at - 1] in ("i", "we", "will", "'ll") and text[at] == "take":
        return True
    own = _SPEAKERS.intersection(text[start:at]) and not {"you", "always"}.intersection(text[start:at])
    return bool(own) and text[at - 1] == "to" and text[at] in ("make", "remember")


def _is_question(scan: Scan, tokens: Sequence[Token], end: int) -> bool:
    """ "What did I find?" """
    return tokens[scan.units[end - 1].token].text.rstrip("\"'”’)").endswith("?")


def _sentence(scan: Scan, at: int) -> tuple[int, int]:
    start = at
    while start > 0 and scan.gap[start] < SENTENCE and at - start < _LONGEST // 2:
        if scan.gap[start] >= PAUSE and at - start > 2:
            break
        start -= 1
    end = at + 1
    while end < len(scan.text) and scan.gap[end] < SENTENCE and end - at < _LONGEST:
        end += 1
    return start, end


def _part(scan: Scan, start: int, end: int, at: int) -> str:
    """The part nearest to the cue: after it in the sentence, else before it."""
    parts: list[Phrase] = [
        phrase for phrase in scan.phrases
        if phrase.is_part and not phrase.weak and phrase.head not in _BODY | _NO_THING
        and not (phrase.determiner == "your" and scan.text[phrase.end - 1] in BODIES)
    ]  # fmt: skip
    after = [phrase for phrase in parts if at <= phrase.start < end]
    # "push it in from the big end": what a place is told by is not what it is about
    free = [phrase for phrase in after if scan.text[phrase.start - 1] not in _PLACING]
    if after and not free and any(start <= phrase.start < at for phrase in parts):
        after = []
    after = free or after
    before = [phrase for phrase in parts if phrase.start < at]
    if after:
        return after[0].name
    inside = [phrase for phrase in before if phrase.start >= start]
    chosen = inside or (before if _points_back(scan, at, end) else [])
    return chosen[-1].name if chosen else ""


def _points_back(scan: Scan, at: int, end: int) -> bool:
    """Whether a warning that names no part is about the last one: not "don't blow the dust"."""
    first = next((word for word in scan.text[at:end] if word in _POINTING | _NAMING_ELSE), "")
    return first not in _NAMING_ELSE
