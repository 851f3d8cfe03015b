"""A puzzle: a stock and a wanted capacitance; the learner proposes, the tutor judges and hints.

A state machine without input or output: a puzzle and a line in, a new puzzle and messages out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from grammar.records import Description, Refusal
from grammar.refusals import show
from grammar.wishes import WishedFor
from tutor.circuit.arranging import Findings, Order, arrange, is_safe, is_wanted
from tutor.circuit.network import Network, build
from tutor.circuit.ordering import nest_of_tree, order_of, stock_of
from tutor.circuit.reduction import reduce
from tutor.circuit.trees import Tree, leaves, value_of_tree
from tutor.teaching.depicted import Depicted
from tutor.teaching.hearing import Request, plain, request_in
from tutor.teaching.kinds_of_act import is_question
from tutor.teaching.messages import Message
from tutor.teaching.proposal import Proposal, read_proposal
from tutor.teaching.puzzle_hints import hints
from tutor.teaching.reasons import step_text
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, counted
from tutor.teaching.stock_words import notation, off_text, overload_text, speech_for, stock_text

MOST_KNOWN = 20
STEPS_BEFORE_A_PUZZLE = 200_000
TRIES_BEFORE_AN_OFFER = 2

TYPED = (
    "Write an arrangement with -- for in series, || for side by side, and brackets, with the names "
    "or the values of the stock, like C1 || (C2 -- C3).\n"
    "'hint' gives a hint, 'show me' shows one after a try, 'list' repeats what there is, 'stop' "
    "leaves."
)
WHY = (
    "Side by side all have one p.d., so their charges add and the capacitances add: the whole is "
    "above its largest member. In a chain all have one charge and the p.d.s add, so the whole is "
    "below its smallest member."
)


class Puzzle(NamedTuple):
    """A puzzle going on or over; ``tries`` counts proposals that could be read and were wrong."""

    wish: WishedFor
    order: Order
    findings: Findings
    terms: Settings
    tries: int = 0
    rung: int = 0
    over: bool = False

    @property
    def speech(self) -> Speech:
        """How its values are spoken."""
        return speech_for(self.wish, self.terms)

    @property
    def target(self) -> str:
        """The wanted capacitance in words."""
        return self.speech.amount(self.order.target, "capacitance")


class PuzzleTurn(NamedTuple):
    """The puzzle after a line, and what is said."""

    puzzle: Puzzle
    messages: tuple[Message, ...]


def begin_puzzle(wish: WishedFor, terms: Settings) -> PuzzleTurn:
    """The puzzle of a wish for one capacitance. Errors: ``Refusal`` for any other wish."""
    if wish.target is None:
        raise Refusal(
            "A puzzle wants one capacitance.", "Name it, as in arrange 5 uF from 2 uF, 3 uF, 6 uF."
        )
    order = order_of(wish, stock_of(wish))
    puzzle = Puzzle(wish, order, arrange(order, MOST_KNOWN, STEPS_BEFORE_A_PUZZLE), terms)
    said = Message("say", _task(puzzle))
    if not puzzle.findings.arrangements:
        none = "I have found no arrangement that keeps every capacitor within its rating."
        return PuzzleTurn(puzzle._replace(over=True), (said, Message("close", none)))
    return PuzzleTurn(puzzle, (said, _ask()))


def hear_puzzle(puzzle: Puzzle, line: str) -> PuzzleTurn:
    """Answer one line of the learner's. The puzzle handed in is unchanged."""
    request = request_in(line)
    if request is None and is_question(line):
        return _on(puzzle, Message("say", _to_a_question(puzzle, line)))
    if request is None:
        return _propose(puzzle, line)
    return ANSWERS.get(request, _no_place)(puzzle)


def _to_a_question(puzzle: Puzzle, line: str) -> str:
    """What is to be used, or else what makes the whole larger or smaller."""
    words = {*plain(line).split()}
    if words & {"all", "every", "each", "many", "use", "twice", "more", "both"}:
        return _what_to_use(puzzle) or "Use the one there is."
    if words & {"possible", "work", "way", "solution"}:
        return _others(puzzle, None) if puzzle.findings.met else _task(puzzle)
    return WHY


def _ask() -> Message:
    return Message("ask", "Your arrangement?", about="choice")


def _on(puzzle: Puzzle, *said: Message) -> PuzzleTurn:
    return PuzzleTurn(puzzle, (*said, _ask()))


def _task(puzzle: Puzzle) -> str:
    wish, findings = puzzle.wish, puzzle.findings
    volts = ""
    if puzzle.order.across is not None:
        shown = puzzle.speech.amount(puzzle.order.across, "voltage")
        volts = f" for {shown}, every capacitor within its rating"
    use = _what_to_use(puzzle)
    lines = [f"A puzzle: make {puzzle.target}{volts}.", f"To be had: {stock_text(wish)}. {use}"]
    if not findings.met:
        sure = "cannot be made" if findings.nearest_is_proven else "is hard to make exactly"
        lines.append(f"{puzzle.target} {sure}; come as near as you can.")
    return "\n".join(lines)


def _what_to_use(puzzle: Puzzle) -> str:
    """How many of the stock may or must be used."""
    stock = puzzle.order.stock
    if puzzle.wish.all_of:
        return "Use all of them."
    if stock.most < sum(group.number for group in stock.groups):
        return f"Use up to {counted(stock.most, 'capacitor')}."
    return "You need not use all of them." if stock.most > 1 else ""


# What a line may be


def _list(puzzle: Puzzle) -> PuzzleTurn:
    return _on(puzzle, Message("say", _task(puzzle)))


def _help(puzzle: Puzzle) -> PuzzleTurn:
    return _on(puzzle, Message("say", TYPED))


def _why(puzzle: Puzzle) -> PuzzleTurn:
    return _on(puzzle, Message("say", WHY))


def _hint(puzzle: Puzzle) -> PuzzleTurn:
    best = puzzle.findings.arrangements[0]
    ladder = hints(puzzle.order, best.tree, puzzle.speech)
    if puzzle.rung >= len(ladder):
        text = "That is all I can say without showing one. 'show me' shows it."
        return _on(puzzle, Message("hint", text))
    stepped = puzzle._replace(rung=puzzle.rung + 1)
    return _on(stepped, Message("hint", ladder[puzzle.rung]))


def _show(puzzle: Puzzle) -> PuzzleTurn:
    if puzzle.tries == 0 and puzzle.rung == 0:
        lead = Message("say", "A try first, even a rough one. Here is a hint to begin with.")
        hinted = _hint(puzzle)
        return hinted._replace(messages=(lead, *hinted.messages))
    best = puzzle.findings.arrangements[0]
    network = _network(puzzle, best.tree)
    lines = [f"{notation(puzzle.order.stock, best.tree)}", *_working(network, puzzle.speech)]
    drawn = Depicted(network, puzzle.speech)
    shown = Message("reveal", "\n".join(lines), about="choice", drawn=drawn)
    return PuzzleTurn(puzzle._replace(over=True), (shown, Message("close", _others(puzzle, None))))


def _restart(puzzle: Puzzle) -> PuzzleTurn:
    fresh = puzzle._replace(tries=0, rung=0)
    return _on(fresh, Message("say", _task(fresh)))


def _no_place(puzzle: Puzzle) -> PuzzleTurn:
    text = "That has no place in a puzzle. 'hint', 'show me', 'list' and 'stop' have."
    return _on(puzzle, Message("say", text))


ANSWERS: Mapping[Request | str, Callable[[Puzzle], PuzzleTurn]] = MappingProxyType({
    "where": _list,
    "points": _list,
    "repeat": _list,
    "typed": _help,
    "why": _why,
    "hint": _hint,
    "unsure": _hint,
    "show": _show,
    "restart": _restart,
})


def _propose(puzzle: Puzzle, line: str) -> PuzzleTurn:
    """Judge an arrangement: first whether the stock allows it, then what it comes to."""
    try:
        proposal = read_proposal(line, puzzle.order.stock, puzzle.speech)
    except Refusal as refusal:
        return _on(puzzle, Message("verdict", show(refusal), about="choice", verdict="unread"))
    if proposal.tree is None:
        return _wrong(puzzle, proposal.fault)
    return _judge(puzzle, proposal, proposal.tree)


def _judge(puzzle: Puzzle, proposal: Proposal, tree: Tree) -> PuzzleTurn:
    order, speech = puzzle.order, puzzle.speech
    value = value_of_tree(tree, order.stock.kinds)
    made = f"{proposal.text} makes {_exactly(puzzle, tree)}"
    missing = order.stock.fewest - len(list(leaves(tree)))
    if missing > 0:
        text = f"{made}, and {counted(missing, 'capacitor')} of the stock are still to be used."
        text = text.replace("capacitor of the stock are", "capacitor of the stock is")
        return _on(puzzle, Message("verdict", text, about="choice", verdict="incomplete"))
    if not is_safe(order, tree):
        return _wrong(puzzle, f"{made}, but {overload_text(order, tree, speech)}.")
    if is_wanted(order, tree):
        return _right(puzzle, tree, f"Yes: {made}.")
    best = puzzle.findings.arrangements[0].value
    if not puzzle.findings.met and abs(value - order.target) <= abs(best - order.target):
        sure = "nothing comes nearer" if puzzle.findings.nearest_is_proven else "I know no nearer"
        off = off_text(value, order.target, speech)
        return _right(puzzle, tree, f"Yes: {made}, {off}, and {sure}.")
    way = "more" if value > order.target else "less"
    nearer = "" if puzzle.findings.met else " It can be nearer."
    return _wrong(puzzle, f"{made}: {way} than the {puzzle.target} wanted.{nearer}")


def _exactly(puzzle: Puzzle, tree: Tree) -> str:
    """The value, with the fraction where rounding would hide that it is not the one wanted."""
    value = value_of_tree(tree, puzzle.order.stock.kinds)
    return puzzle.speech.result(value, "capacitance").removeprefix("= ").removeprefix("≈ ")


def _wrong(puzzle: Puzzle, text: str) -> PuzzleTurn:
    tried = puzzle._replace(tries=puzzle.tries + 1)
    verdict = Message("verdict", text, about="choice", verdict="wrong")
    if tried.tries < TRIES_BEFORE_AN_OFFER:
        return _on(tried, verdict)
    offer = Message("say", "'hint' gives a hint, 'show me' shows one; or go on.")
    return _on(tried, verdict, offer)


def _right(puzzle: Puzzle, tree: Tree, text: str) -> PuzzleTurn:
    drawn = Depicted(_network(puzzle, tree), puzzle.speech)
    verdict = Message("verdict", text, about="choice", verdict="right", drawn=drawn)
    over = puzzle._replace(over=True)
    return PuzzleTurn(over, (verdict, Message("close", _others(puzzle, tree))))


def _others(puzzle: Puzzle, tree: Tree | None) -> str:
    """Whether it can be done with fewer, and how many other ways are known."""
    findings = puzzle.findings
    best = findings.arrangements[0]
    if tree is not None and len(list(leaves(tree))) > best.parts:
        return f"It can be done with {counted(best.parts, 'capacitor')} as well."
    known = len({each.tree for each in findings.arrangements} - {tree or best.tree})
    if known:
        least = "at least " if findings.more or findings.cut_short else ""
        return f"There {'is' if known == 1 else 'are'} {least}{counted(known, 'other way')}."
    if findings.cut_short or findings.more:
        return "There may be other ways."
    return "It is the only way."


def _network(puzzle: Puzzle, tree: Tree) -> Network:
    return build(Description(nest=nest_of_tree(puzzle.order.stock, tree))).network


def _working(network: Network, speech: Speech) -> list[str]:
    """Each step of the reduction with its numbers."""
    return [
        f"{text.working}, so {text.result}" if text.result else text.working
        for text in (step_text(step, speech) for step in reduce(network).steps)
    ]
