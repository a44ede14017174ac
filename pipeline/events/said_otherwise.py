"""What the sentence around a deed, or the next one, says of it otherwise than its verb.

"The blade goes back on at the end." "The oil wants changing. I've done that." "I haven't touched the points. I did do
the condenser." "Oil I have a litre of on the bench." "I thought the rod was bent and it wasn't."
"""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.events.clauses import sentence_around
from pipeline.events.phrase import Scan
from pipeline.events.rules import Rules
from pipeline.records import Event, Status

_SPEAKERS, _GOES = frozenset(("i", "we")), frozenset(("goes", "go"))
_PUTS = frozenset(("fit", "assemble", "connect", "renew", "seal"))
_POURS = frozenset(("fill", "top_up", "lubricate", "drain"))
_AT_THE_END_WITHIN, _VERB_WITHIN, _SOON = 5, 3, 6
_DONE = frozenset(("do", "done", "manage", "managed"))
_ADVERBS = frozenset(("at", "least", "also", "already", "just", "now", "though", "even", "actually", "then"))
_DENIES = frozenset((
    "not", "no", "never", "nothing", "none", "neither", "nor", "hardly", "if", "except", "apart", "bar", "without",
    "besides", "excluding", "barring", "save", "other",
))  # fmt: skip
_LEADS = frozenset(("so", "and", "but", "well", "which", "yes", "yeah", "anyway", "because"))
_POINTS = frozenset(("it", "that", "those", "them", "this", "these"))
_CLOSERS = frozenset(("so", "and", "now", "but", "too", "already", "as", "while", "though"))
_STOPGAP = frozenset(("old", "spare", "original", "borrowed", "secondhand"))
_NOT, _SENT = frozenset(("not", "never", "nothing")), frozenset(("away", "off", "out"))
_FINDS = frozenset(("inspect", "repair", "measure", "test"))


def otherwise(event: Event, span: tuple[int, int], scan: Scan, rules: Rules) -> Status | None:
    """The status that the words around a deed give it, None where they leave it as it is."""
    if event.status == "done":
        if _at_the_end(event, span, scan, rules):
            return "planned"
        return "provisional" if event.action in _PUTS and _is_stopgap(span, scan, rules) else None
    if event.status == "negated":
        return "done" if _did_do(event, span, scan, rules) else None
    return _answered(span[1], scan) if event.status == "planned" else None


def is_nothing(event: Event, span: tuple[int, int], scan: Scan, rules: Rules) -> bool:
    """True where nothing was done: what is in stock, was only thought, is away at somebody's or came with the thing."""
    if event.status != "done":
        return False
    start, end = span
    if any(scan.text[at + 1 : at + 2] == ["nothing"] for at in range(start, end) if at in scan.verbs):
        return True
    if event.action in _POURS and _in_stock(event, span, scan, rules):
        return True
    if event.action in _FINDS and _only_thought(span, scan, rules):
        return True
    if scan.text[max(0, start - 2) : start] in (["came", "with"], ["comes", "with"]):
        return True
    if _cue_within(span, scan, rules, "never_reached"):
        return True
    return event.action not in _PUTS and any(
        scan.text[at] == "being" and not _SENT.isdisjoint(scan.text[max(0, at - 2) : at]) for at in range(start, end)
    )


def _at_the_end(event: Event, span: tuple[int, int], scan: Scan, rules: Rules) -> bool:
    """ "That goes back on at the end", "it goes on last thing"; "at the end of the shaft" is a place."""
    start, end = span
    goes = next((at for at in range(start, min(len(scan.text), end + 2)) if scan.text[at] in _GOES), -1)
    if event.action not in _PUTS or goes < 0:
        return False
    for at in range(goes + 1, min(len(scan.text), max(goes, end) + _AT_THE_END_WITHIN)):
        if scan.gap[at] > 1:
            return False
        hit = rules.cues["at_the_end"].at(scan.text, at)
        if hit:
            return scan.text[hit[0] : hit[0] + 1] != ["of"]
    return False


def _is_stopgap(span: tuple[int, int], scan: Scan, rules: Rules) -> bool:
    """ "In the meantime I've put the old one on"; a new seal fitted meanwhile stays."""
    if "with" in scan.text[max(0, span[0] - 2) : span[0] + 1]:  # "with the old split pin" tells what holds it
        return False
    first, last = sentence_around(scan, span[1] - 1)
    meanwhile = next((at for at in range(first, span[1]) if rules.cues["meanwhile"].at(scan.text, at)), -1)
    return meanwhile >= 0 and not _STOPGAP.isdisjoint(scan.text[meanwhile : min(last, span[1] + 2)])


def _cue_within(span: tuple[int, int], scan: Scan, rules: Rules, cue: str) -> bool:
    return any((hit := rules.cues[cue].at(scan.text, at)) and hit[0] <= span[1] for at in range(*span))


def _did_do(event: Event, span: tuple[int, int], scan: Scan, rules: Rules) -> bool:
    """ "I did do the seal", "I have done the engine oil": no denial of this sentence's, whatever was denied before."""
    first, _ = sentence_around(scan, span[1] - 1)
    if not _DENIES.isdisjoint(scan.text[first : span[1]]):
        return False
    for at in range(first, span[1] - 1):
        if scan.text[at] not in _SPEAKERS or scan.text[at + 1] not in ("did", "have"):
            continue
        verb = at + 2
        while verb < span[1] and verb - at - 2 < _VERB_WITHIN and scan.text[verb] in _ADVERBS:
            verb += 1
        readings = scan.verbs.get(verb, (0, ()))[1]
        own = any(rules.plain.get(reading.lemma) == event.action for reading in readings)
        if verb < len(scan.text) and (own or scan.text[verb] in _DONE):
            return "but" not in scan.text[verb : span[1]]  # "all the bolts but the top one"
    return False


def _answered(end: int, scan: Scan) -> Status | None:
    """What "I've done that", "so I did" or "I'm not doing it" right behind makes of what was to be done."""
    for at in _starts_behind(end, scan):
        while at < len(scan.text) and scan.text[at] in _LEADS:
            at += 1
        words = scan.text[at : at + 5]
        if len(words) < 2 or words[0] not in _SPEAKERS:
            continue
        if words[1] == "have":
            done = 2 + (words[2:3] != [] and words[2] in _ADVERBS)
            told = words[done : done + 1] == ["done"] and not _POINTS.isdisjoint(words[done + 1 : done + 2])
            if told and _closes(scan, at + done + 2):
                return "done"
        if words[1:2] == ["did"] and _closes(scan, at + 2):
            return "done"
        if words[1:3] == ["am", "not"] and words[3:4] == ["doing"] and not _POINTS.isdisjoint(words[4:]):
            return "negated" if _closes(scan, at + 5) else None
    return None


def _starts_behind(end: int, scan: Scan) -> Iterator[int]:
    """Where a clause begins right behind a deed."""
    for at in range(end, min(len(scan.text), end + _SOON)):
        if scan.gap[at] or scan.text[at] in _LEADS:
            yield at
            return


def _closes(scan: Scan, at: int) -> bool:
    return at >= len(scan.text) or scan.gap[at] > 0 or scan.text[at] in _CLOSERS


def _in_stock(event: Event, span: tuple[int, int], scan: Scan, rules: Rules) -> bool:
    """ "Coolant I have five litres of in the shed": there, and not in the machine."""
    first, last = sentence_around(scan, span[0])
    has = any(
        scan.text[at] in _SPEAKERS and scan.text[at + 1] == "have" and at + 2 not in scan.verbs
        for at in range(first, min(last, span[1] + 2) - 1)
    )
    there = any(rules.cues["in_stock"].at(scan.text, at) for at in range(first, min(len(scan.text), last)))
    poured = any(
        rules.plain.get(reading.lemma) == event.action
        for at in range(first, span[1])
        for reading in scan.verbs.get(at, (0, ()))[1]
    )
    return has and there and not poured


def _only_thought(span: tuple[int, int], scan: Scan, rules: Rules) -> bool:
    """ "I thought the axle was bent, but it wasn't", "it looked stripped but it's not"."""
    first, last = sentence_around(scan, span[0])
    thought = next((at for at in range(first, span[1]) if rules.cues["thought_so"].at(scan.text, at)), -1)
    if thought < 0:
        return False
    return any(
        scan.text[at] in ("it", "they", "that") and any(word in _NOT for word in scan.text[at + 2 : at + 3])
        for at in range(thought + 2, min(last, len(scan.text) - 2))
    )
