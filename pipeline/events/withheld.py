"""What is proposed and yet no work: parts that are shown or awaited, and what was left alone, laid down or left out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.events.as_it_was import is_soil, kept, left_loose, recited, to_come
from pipeline.events.clauses import NONE
from pipeline.events.details import Details
from pipeline.events.event_sense import FILLING
from pipeline.events.faults import faulty_units
from pipeline.events.focus import Weigh
from pipeline.events.how_held import cut_so, holding
from pipeline.events.how_made import as_made, built_so, of_own_clause, sized
from pipeline.events.mishaps import arrived, chased_up, dropped, laid_away, locked, scrapped, switched
from pipeline.events.not_done import awaited, hanging, left_alone, wished
from pipeline.events.not_worked_on import did_over, found_so, named_only, untouched
from pipeline.events.notes import forbidden
from pipeline.events.old_and_new import old_told_of
from pipeline.events.open_lists import WORDLESS, OpenLists
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.place_words import exception
from pipeline.events.predicate import Predicate
from pipeline.events.reader_places import ReaderPlaces
from pipeline.events.reading import SENTENCE
from pipeline.events.recitals import coming_off
from pipeline.events.remarks import remarked, resisting
from pipeline.events.rules import Rules
from pipeline.events.scope import Scope
from pipeline.events.telling import EventTelling
from pipeline.events.tense import THE_OLD_WAS
from pipeline.events.unreal import unreal
from pipeline.events.went_in import drained_before
from pipeline.events.without_verb import ALSO, SURELY
from pipeline.records import Quantity, Token

_WANTED = frozenset(("need", "needs", "needed", "want", "wants", "lacks", "lacking"))
# What joins the items of a list of wants, and how long it may be.
_JOINTS, _LONGEST_LIST = frozenset(("and", "plus", "is", "also", "or")), 30
# An object stands near the word that tells the event, the words for where it was put right behind the object, and
# "which I've left out" right behind the part.
OBJECT_WITHIN, _PLACE_WITHIN, _DENIED_WITHIN = 4, 4, 8
_GO, _AFTERWARDS, _SOON_AFTER = frozenset(("go", "goes")), frozenset(("after", "once")), 4
# Without these an "after" may tell the order in which things went on.
_LACKED, _LACKED_WITHIN = frozenset(("need", "needs", "yet", "waiting", "later", "tomorrow", "only")), 10
# "I've done all of them that I can reach except the top one"
_LEFT_OUT_WITHIN = 8
# "... when it is together" behind a figure.
_LATER_WITHIN = 5
_STANDS = (["is", "on"], ["are", "on"], ["'s", "on"], ["'re", "on"])
_PROPS = (["blocks"], ["stands"], ["trestles"], ["bricks"])
_CAPACITY = frozenset(("holds", "hold", "takes", "take"))
_LOOKED_AT = frozenset(("inspect", "measure", "test"))
_HANDLED = frozenset(("fit", "renew", "remove", "assemble", "dismantle", "connect", "disconnect", "drain"))
_OUGHT = frozenset(
    (("should", "be"), ("must", "be"), ("ought", "to", "be"), ("need", "to", "be"), ("needs", "to", "be"),
     ("has", "to", "be"), ("have", "to", "be"), ("wants", "to", "be"))
)  # fmt: skip
_PUT = frozenset(("fit", "renew", "remove", "assemble", "connect"))


class Withheld(EventTelling):
    """Asks of a proposal whether the words around it leave no doubt of its status, or leave no work at all."""

    def __init__(
        self, rules: Rules, scan: Scan, predicates: list[Predicate], tokens: Sequence[Token],
        quantities: Sequence[Quantity], scope: Scope, weigh: Weigh, places: ReaderPlaces | None = None,
    ) -> None:  # fmt: skip
        super().__init__(rules, scan, predicates, tokens, quantities, scope, weigh, places)
        self._untold = forbidden(scan, rules) | hanging(scan) | wished(scan, rules) | unreal(scan, rules)
        self._untold |= (
            faulty_units(scan)
            | sized(scan, rules)
            | built_so(scan, rules)
            | switched(scan, rules)
            | dropped(scan, rules)
            | arrived(scan)
        )
        self._scrapped = scrapped(scan, rules)
        self._untold |= self._scrapped | locked(scan, rules) | chased_up(scan)
        self._laid = laid_away(scan, rules)
        self._described, self._owners = as_made(scan, rules), of_own_clause(scan, rules)
        self._remarked, self._resisting, self._came_off = remarked(scan), resisting(scan), coming_off(scan)
        self._awaited, self._alone = awaited(scan, rules), left_alone(scan)
        self._kept, self._loose, self._recited = kept(scan), left_loose(scan), recited(scan)
        self._to_come = to_come(scan)
        self._beside, self._found_so = named_only(scan, rules.words["places"]), found_so(scan)
        self._did_over, self._untouched = did_over(scan), untouched(scan)
        self._told_of, self._untold = old_told_of(scan), self._untold | cut_so(scan, rules)
        self._described |= holding(scan)
        lists = OpenLists(scan, rules, predicates)
        self._shown, self._idle = lists.shown(), lists.idle()

    def _fill(self, predicate: Predicate) -> None:
        """What went in goes into what was drained before, where something was; else the fluid alone is told."""
        fluid = next(iter(predicate.objects), None)
        if predicate.trigger == ALSO and fluid is not None:
            if fluid.start not in self._emitted:
                self._emit(predicate, fluid, Details(), predicate.end)
            return
        drained = drained_before(self._events, self._places, self._part_units, predicate.start, self._scan)
        sure = predicate.trigger == SURELY and drained is not None
        if self._told_filled(predicate, ("fill", "top_up") if sure else FILLING):
            return
        part = drained or fluid
        if part is None:
            return
        clause = Details(fluid=fluid.name) if fluid is not None and part.kind != "fluid" else Details()
        self._emit(replace(predicate, verb=predicate.group), part, clause, predicate.end)

    def _can_be_about(self, predicate: Predicate, part: Phrase) -> bool:
        """ "there's no cup on this side", "in the tub with its bolts": such parts are only named."""
        wordless = predicate.voice in WORDLESS or bool(predicate.doubt)
        if part.start in self._untouched and not part.end <= predicate.verb < self._untouched[part.start]:
            return False
        if part.start in self._beside and (wordless or predicate.voice == "state"):
            return False
        stands = self._scan.text[part.end : part.end + 2] in _STANDS and predicate.action in _PUT
        if wordless and stands and self._scan.text[part.end + 2 : part.end + 3] in _PROPS:
            return False  # "the wheels are on blocks"
        return super()._can_be_about(predicate, part)

    def _still_wanted(self, part: Phrase) -> bool:
        """ "needs a spring washer", "what it wants is new seals, a gasket and two bearings"."""
        text, at = self._scan.text, part.start
        while at and self._scan.gap[at] < SENTENCE:
            before = self._scan.ending.get(at)
            if before is not None and before.is_part and part.start - at < _LONGEST_LIST:
                at = before.start
            elif text[at - 1] in _JOINTS:
                at -= 1
            else:
                break
        return not _WANTED.isdisjoint(text[max(0, at - 2) : at + 1])

    def _only_laid_down(self, predicate: Predicate) -> bool:
        """ "popped the bracket on the bench": it is not fitted there."""
        after = next((part.end for part in predicate.objects if abs(part.start - predicate.verb) <= OBJECT_WITHIN), 0)
        words = self._scan.text[after : after + _PLACE_WITHIN] if after else []
        state = predicate.voice == "state" and not any(self._scan.gap[predicate.end : predicate.end + 2])
        if state:  # "it's on stands"
            words = self._scan.text[predicate.end - 1 : predicate.end + 2]
        on = bool(words) and words[0] in ("on", "onto", "in", "to", "over")
        return predicate.action == "fit" and on and not self._rules.words["places"].isdisjoint(words)

    def _leave_out(self, predicate: Predicate, told: list[tuple[Phrase, str]]) -> None:
        """ "I've done them all except the front right": that one was not."""
        if [status for _, status in told] != ["done"] or not self._events or self._events[-1].part != told[0][0].name:
            return
        _, stop = self._scope.sentence(predicate.verb)
        text = self._scan.text
        for at in range(predicate.verb, min(stop, predicate.end + _LEFT_OUT_WITHIN)):
            left = self._scan.starting.get(exception(text, at)) if exception(text, at) > at else None
            if left is None or not (left.is_part or left.side or left.position or left.head == "one"):
                continue
            if left.start == told[0][0].start:  # "everything's tightened except for the axle nut"
                self._events[-1] = replace(self._events[-1], status="negated", quantities=())
                return
            first, last = self._scan.units[predicate.start].token, self._scan.units[left.end - 1].token
            self._events.append(
                replace(
                    self._events[-1], status="negated", part=left.name or told[0][0].name, side=left.side,
                    position=left.position, condition=left.condition, count=left.count, found="",
                    said=" ".join(token.text for token in self._tokens[first : last + 1]),
                    start_word=self._tokens[first].start_word, end_word=self._tokens[last].end_word,
                    start_ms=self._tokens[first].start_ms, why=f"left out: “{' '.join(text[at : left.end])}”",
                )
            )  # fmt: skip
            self._places.append((predicate.start, left.end))
            self._heads.append((self._scan.units[at].token, last))
            self._wordless.append(False)
            self._part_units.append(left.start)
            return

    def _denied(self, predicate: Predicate, parts: list[Phrase]) -> None:
        """ "there's a felt under the washer, which I've left out": what the network saw of the felt there was not."""
        opened, _ = self._scope.sentence(predicate.verb)
        names = {part.name for part in parts}
        for index in sorted(self._only_read, reverse=True):
            event = self._events[index]
            if self._places[index][0] < opened:
                break
            near = predicate.group - self._places[index][1] <= _DENIED_WITHIN
            if near and event.part in names and event.action == predicate.action and event.status == "done":
                why = f"“{predicate.said_as}” means {event.action}; {predicate.trigger}"
                self._events[index] = replace(event, status="negated", why=why)
                self._only_read.discard(index)

    def _surely(self, predicate: Predicate, part: Phrase, status: str, left: bool) -> str:
        """The status of a part that the judge believes, or another where the words leave no doubt; `left` is true in a
        list of what is left to do."""
        if predicate.action == "tighten" and predicate.verb in self._loose and status in ("done", "provisional"):
            return "negated"
        # "what's left? The master cylinder, it's been sleeved": some of it is done
        told = predicate.voice not in WORDLESS and predicate.form in ("pp", "past")
        if (left or predicate.verb in self._to_come) and status in ("done", "advised") and not told:
            return "planned"
        if status == "provisional" and predicate.said_as.startswith("leave ") and predicate.status_told == "negated":
            return "negated"  # "left the shim out, that's just for now"
        if status != "done":
            return status
        if predicate.status == "past" and (
            predicate.trigger == THE_OLD_WAS or self._rules.past_people.at(predicate.trigger.split(), 0)
        ):
            return "past"
        if predicate.form == "pp" and predicate.status == "planned" and self._ought_to_be(predicate):
            return "planned"
        if predicate.voice in WORDLESS and predicate.verb in self._recited:
            return "advised"
        if predicate.voice in WORDLESS and self._scan.text[part.end : part.end + 2] == ["every", "time"]:
            return "advised"  # "new nut every time": a habit
        if predicate.voice in WORDLESS and self._goes_on_after(part):
            return "planned"
        if predicate.action == "torque" and predicate.voice in (*WORDLESS, "figure") and self._is_for_later(predicate):
            return "planned"
        if predicate.voice == "read" and self._still_wanted(part):  # "needs a spring washer"
            return "planned"
        return self._rules.verb_status.get(predicate.lemma) or status  # "dry fitted" is fitted for now

    def _ought_to_be(self, predicate: Predicate) -> bool:
        """ "it should be replaced, I've ordered it"; but "that should be sealed now" is hoped of what was done."""
        text, verb = self._scan.text, predicate.verb
        ought = tuple(text[verb - 2 : verb]) in _OUGHT or tuple(text[verb - 3 : verb]) in _OUGHT
        return ought and text[predicate.end : predicate.end + 1] not in (["now"], ["properly"], ["nicely"])

    def _goes_on_after(self, part: Phrase) -> bool:
        """ "those go on after the table, with the little plates, eight screws. I need two more"."""
        start, end = self._scope.sentence(part.start)
        text = self._scan.text[start : part.start]
        goes = next((at for at, word in enumerate(text) if word in _GO), len(text))
        lacking = not _LACKED.isdisjoint(self._scan.text[start : end + _LACKED_WITHIN])
        return lacking and not _AFTERWARDS.isdisjoint(text[goes : goes + _SOON_AFTER])

    def _is_for_later(self, predicate: Predicate) -> bool:
        """ "four bolts, eight newton metres when it's finally together": a figure without a verb, and not yet."""
        text, gap = self._scan.text, self._scan.gap
        for at in range(predicate.verb + 1, min(len(text) - 1, predicate.end + _LATER_WITHIN)):
            if gap[at] >= SENTENCE:
                return False
            if text[at] in ("when", "once") and not gap[at + 1]:
                return text[at + 1] not in ("i", "we", "more", "again")
        return False

    def _is_there_already(self, predicate: Predicate) -> bool:
        """ "I've left that alone, it's set and it's sealed", "the gears I've kept"."""
        if predicate.verb in self._kept and predicate.voice in WORDLESS:
            return True
        wordless = predicate.voice in WORDLESS
        if wordless and predicate.action in ("lubricate", "seal") and predicate.verb in self._found_so:
            return True
        if wordless and predicate.action in ("remove", "disconnect") and predicate.verb in self._did_over:
            return True
        if predicate.action in ("fill", "top_up") and wordless and self._scan.text[predicate.verb] in _CAPACITY:
            return True  # "she holds four and a half litres"
        if predicate.action == "lubricate" and predicate.voice in WORDLESS and is_soil(self._scan, predicate.verb):
            return True
        return predicate.verb in self._alone and (predicate.form == "pp" or predicate.voice in ("read", "implied"))

    def _is_only_shown(self, predicate: Predicate) -> bool:
        """ "So what have we got. Two new seals, a gasket": nothing is done with them in that list."""
        if predicate.action == "tighten" and predicate.verb in self._resisting:
            return True
        wordless = bool(predicate.doubt) or predicate.voice in WORDLESS
        if wordless and predicate.verb in self._told_of and predicate.action in ("fit", "assemble", "renew"):
            return True
        if predicate.action in ("fit", "assemble", "lubricate") and predicate.verb in self._laid:
            return True
        if wordless and predicate.verb in self._described and predicate.action not in _LOOKED_AT:
            return True
        return wordless and predicate.verb in self._idle | self._remarked and predicate.action in _PUT

    def _told_in_clause(self, predicate: Predicate) -> list[Phrase]:
        """The parts of which a verb or a state of the same clause tells the same action: "pads are out"."""
        return [
            part for other in self._predicates
            if other.action and other.status != NONE
            and other.start <= predicate.verb <= other.end for part in other.objects if part.is_part
        ]  # fmt: skip

    def _tells_itself(self, predicate: Predicate, part: Phrase, status: str) -> bool:
        """ "Left cup off, and the right cup is left hand thread": that one is not off."""
        wordless = predicate.voice in WORDLESS or bool(predicate.doubt)
        handled = status == "done" and predicate.action in _HANDLED
        if not (wordless and handled):
            return False
        if part.start in self._owners:
            return predicate.verb < part.end
        return predicate.verb in self._owners and part.condition != "new"  # "the hub has a new bearing"

    def _is_awaited(self, predicate: Predicate, part: Phrase) -> bool:
        """A part without a verb of its own that is still to be bought."""
        verbless = predicate.verb not in self._scan.verbs and predicate.action in ("fit", "renew")
        return verbless and part.start in self._awaited and abs(part.start - predicate.verb) <= OBJECT_WITHIN
