"""Puts what may be told before the judge, and holds his decision against what the words around it leave no doubt of."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.events.clauses import NONE
from pipeline.events.details import owned_places
from pipeline.events.evidence import Evidence
from pipeline.events.judge import Decider, Question
from pipeline.events.old_and_new import is_one_of_two
from pipeline.events.open_lists import WORDLESS
from pipeline.events.options import options_of, without_earlier, without_fuller_names
from pipeline.events.own_words import of_their_own_word
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.read_proposals import PhraseAt, ReadProposals
from pipeline.events.reader_evidence import ReaderEvidence
from pipeline.events.reader_places import ReaderPlaces
from pipeline.events.rules import Rules
from pipeline.events.scope import Scope
from pipeline.events.withheld import Withheld
from pipeline.reader.reading import Reading
from pipeline.records import Quantity, Token

_SOFT = frozenset(("hose", "cable", "wire", "gasket", "seal", "belt", "grommet", "boot"))


class Judging(Withheld):
    """Asks the judge of a predicate: which parts it is about, each in which status."""

    def __init__(
        self, rules: Rules, decider: Decider, tokens: Sequence[Token], quantities: Sequence[Quantity], scan: Scan,
        predicates: list[Predicate], scope: Scope, phrase_at: PhraseAt, reading: Reading | None,
    ) -> None:  # fmt: skip
        words = [token.text for token in tokens]
        places = ReaderPlaces(words, rules, reading, owned_places(scan)) if reading is not None else None
        super().__init__(rules, scan, predicates, tokens, quantities, scope, decider.referent, places)
        self._decider = decider
        self._evidence = Evidence(rules, scan, predicates)
        self._read = ReaderEvidence(scan, reading) if reading is not None else None
        self._proposed = ReadProposals(scan, self._read, phrase_at) if self._read is not None else None
        self._worked: dict[str, int] = {}
        self._named = [phrase for phrase in scan.phrases if phrase.is_part]
        self._last_told: Predicate | None = None
        self._token_of = [unit.token for unit in scan.units]

    def _judged(self, predicate: Predicate, chosen: list[Phrase], end: int) -> list[tuple[Phrase, str]]:
        """The parts that the predicate is about, each with its status."""
        if predicate.status == NONE and predicate.trigger != "no verb":
            return []
        if predicate.verb in self._untold or self._is_there_already(predicate) or self._is_only_shown(predicate):
            return []
        if (predicate.doubt or predicate.voice == "state") and self._only_laid_down(predicate):
            return []
        if predicate.action == "fit" and predicate.voice in WORDLESS and predicate.verb in self._came_off:
            predicate.action = "remove"
        options = options_of(predicate, chosen, self._scan, self._named, self._far_parts(predicate))
        options = [option for option in options if option.chosen or self._makes_sense(predicate, option.part)]
        options = [option for option in options if self._can_be_about(predicate, option.part)]
        quantities = self._quantities_in(predicate, end)
        meant = [(option, self._action(predicate, option.part, quantities)) for option in options]
        options, actions = [option for option, action in meant if action], [action for _, action in meant if action]
        last = self._last_parts
        shared = self._evidence.of_predicate(predicate, self._last_told, chosen)
        each = [
            self._evidence.of_option(predicate, option, action, chosen, self._worked, last)
            for option, action in zip(options, actions, strict=True)
        ]
        if self._read is not None:
            shared = [*shared, *self._read.of_predicate(predicate)]
            more = self._read.of_options(predicate, [option.part for option in options], actions)
            each = [[*features, *read] for features, read in zip(each, more, strict=True)]
        rules = [index for index, option in enumerate(options) if option.chosen]
        question = Question(predicate, options, actions, shared, each, rules, self._token_of)
        decided = self._decider.decide(question)
        decided = [row for row in decided if not self._is_awaited(predicate, options[row[0]].part)]
        decided = [row for row in decided if not self._tells_itself(predicate, options[row[0]].part, row[1])]
        if predicate.voice == "read":
            parts = [options[index].part for index, _ in decided]
            own = of_their_own_word(predicate.verb, parts, self._told_in_clause(predicate), self._scan)
            decided = [row for row in decided if options[row[0]].part in own]
        if predicate.voice == "to do" and predicate.status == "planned" and not decided:
            # "I've still got the bracket to fit" leaves no doubt
            decided = [(index, "planned") for index in rules if options[index].part.determiner]
        if self._is_new_one_in(predicate) or is_one_of_two(predicate, self._predicates, self._scan):
            decided = [(index, "done") for index, option in enumerate(options) if option.chosen]
        if decided and [told.is_pronoun and not told.plural for told in predicate.objects] == [True]:
            # "it" is one part: what agrees in number, then what most speaks for
            one = [(index, decided[0][1]) for index in rules if not options[index].part.plural]
            if one and all(options[index].part.plural for index, _ in decided):
                decided = one
            decided = [
                max(decided, key=lambda row: (not options[row[0]].part.plural, self._decider.weight(question, row[0])))
            ]
        if decided and [told.is_pronoun and told.plural and not told.count for told in predicate.objects] == [True]:
            decided = _all_of_them(decided, rules)
        decided = without_earlier(without_fuller_names(decided, options), options, predicate, self._predicates)
        if predicate.voice == "figure":  # a torque beside a bolt and a hose is the bolt's
            decided = [row for row in decided if options[row[0]].part.head not in _SOFT] or decided
        if self._scan.text[predicate.verb - 2 : predicate.verb] == ["not", "only"]:
            return [(options[index].part, predicate.status) for index, _ in decided]
        left = self._scope.is_left_to_do(predicate)
        return [
            (options[index].part, self._surely(predicate, options[index].part, status, left))
            for index, status in decided
        ]

    def _far_parts(self, predicate: Predicate) -> list[Phrase]:
        """Parts that the reader takes it to be about, however far."""
        if self._proposed is None or self._read is None or predicate.voice == "implied":
            return []
        return self._proposed.parts(self._read.token_of(predicate))


def _all_of_them(decided: list[tuple[int, str]], meant: list[int]) -> list[tuple[int, str]]:
    """ "the float, the needle and the jet. I'll clean those": what holds of one of them holds of all."""
    told = [(index, status) for index, status in decided if index in meant]
    if not told:
        return decided
    others = [(index, told[0][1]) for index in meant if index not in dict(decided)]
    return sorted([*decided, *others])
