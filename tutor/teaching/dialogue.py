"""What a line answers in a walk.

``LEGAL`` is the whole table of what may be said to which question; a line that has no row there
is answered by saying what the question wants.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from contextlib import suppress
from fractions import Fraction
from itertools import takewhile
from types import MappingProxyType
from typing import Any, Literal, NamedTuple, TypeAlias

from grammar.answers import Claim, is_plain_value
from grammar.expressions import Name
from grammar.quantity import UNIT_SIGN
from grammar.records import Refusal
from grammar.refusals import ANY_VALUE
from grammar.spoken_numbers import in_figures
from tutor.circuit.steps import Fault, examine
from tutor.circuit.values import in_letters
from tutor.teaching import answering, asides, follow_ups, requests, stating, stuck_step
from tutor.teaching.at_once import A_FRACTION, hear_each
from tutor.teaching.claims import WHOLE_NAMES, names_to_come, read, state
from tutor.teaching.evidence import with_evidence
from tutor.teaching.hearing import (
    A_VALUE,
    HOW_MUCH,
    SAYS_EQUAL,
    Exchanging,
    Reasoned,
    Shared,
    exchange_in,
    nought_in_figures,
    points_in,
    request_in,
    said_to_no_value,
    sharing_in,
    tells_a_way,
    units_in_signs,
)
from tutor.teaching.messages import About, Message
from tutor.teaching.named_pairs import first_of_pairs, with_what_is_left
from tutor.teaching.pointing import Chosen, capacitors_in, with_the_others_named
from tutor.teaching.quantities import Quantity
from tutor.teaching.reading.because_words import BECAUSE, without_reason_between
from tutor.teaching.reading.conclusion import conclusion_in
from tutor.teaching.reading.menu_choice import speaks_to_the_point
from tutor.teaching.reading.said_values import Unsettled, with_unit
from tutor.teaching.reading.spoken_words import meanings_of
from tutor.teaching.referring import with_names
from tutor.teaching.rules.rule_text import in_terms
from tutor.teaching.said_of_each import EVERY, others_in_names
from tutor.teaching.speech import listed
from tutor.teaching.turn import (
    Turn,
    ask_again,
    replies_of,
    show_choice,
    speech_of,
    standing_network,
)
from tutor.teaching.unknown_points import without_unknown_points
from tutor.teaching.walk import (
    Aside,
    Question,
    Walk,
    at_the_end,
    given,
    is_stuck,
    next_question,
    used_names,
)
from tutor.teaching.wording import step_of

_WITH_UNIT = re.compile(rf"\d\s*(?!\w?F){UNIT_SIGN}")
_SHARED_WORD = re.compile(r"(?i)\b(?:charges?|p\.?d\.?s?|voltages?|potential|share\w*|same)\b")


class Claimed(NamedTuple):
    """Values stated, in the order of the line; ``in_words`` where more was said than values."""

    claims: tuple[Claim, ...]
    in_words: bool = False


_WORDS_TOO = re.compile(r"(?!(?:and|volts?|farads?|coulombs?|joules?)\b)[A-Za-z]{4,}")


class Puzzling(NamedTuple):
    """A line that could not be read, and why; ``asks`` says that the why is a question back."""

    why: str
    asks: bool = False


Heard: TypeAlias = Chosen | Exchanging | Shared | Reasoned | Claimed | Puzzling
Handler: TypeAlias = Callable[[Walk, Question, Heard], Turn]

IF_LEVEL = (
    "They join the same two points if {} are at one potential; that is still to be found out. "
)
MOST_OF_AN_AMOUNT = 6  # words around an amount; of more words a story is told
VALUE_QUESTIONS: tuple[About, ...] = ("value", "charge", "voltage", "energy", "check")


def answer(walk: Walk, line: str) -> Turn:
    """A line that answers what a walk asks, or several of its questions in turn. One that is not
    taken so is read once more by what each of its amounts is said of.
    """
    question = next_question(walk)
    if question is None:
        return requests.done(walk)
    line = _in_its_names(walk, question, line)
    if (of_each := _of_each(walk, question, line)) is not None:
        return of_each
    if question.about == "choice" and is_stuck(walk):
        from tutor.teaching.level_claimed import points_claimed_level  # late: few get stuck

        if points := points_claimed_level(walk.network, line):
            return stuck_step.go_on(walk, IF_LEVEL.format(points))
    turn = hear_each(walk, question, line, _one_answer)
    if question.about == "choice" and (apart := _with_value_apart(walk, question, line, turn)):
        return apart
    if not _may_say_more(walk, question, turn, line):
        return turn
    from tutor.teaching.amounts_of_walk import in_names  # late: most lines are read before

    meant = in_names(walk, line)
    if meant is None:
        return turn
    again = hear_each(walk, question, meant, _one_answer)
    heard, heard_again = ([m.verdict for m in each.messages if m.verdict] for each in (turn, again))
    is_new = again.task.known != walk.known or again.task.steps != walk.steps
    if not is_new and "wrong" not in heard:
        return turn  # what was known already answers nothing, though it is not wrong
    if all(verdict == "right" for verdict in heard_again):
        is_more = any(v != "right" for v in heard) or len(heard_again) > len(heard)
        return again if is_more else turn
    return again if "unread" in heard and "unread" not in heard_again else turn


def _in_its_names(walk: Walk, question: Question, line: str) -> str:
    """A line with the names and signs of this walk in the place of what stands for them."""
    if question.about not in VALUE_QUESTIONS:
        line = _in_points_kept(walk, line)
    if question.about == "choice":
        names = [c.name for c in walk.network.capacitors]
        line = with_the_others_named(with_what_is_left(walk, line), names)
    if question.about == "shares":
        line = units_in_signs(line)  # 48 microcoulombs speaks of no charge more than 48 uC does
    return values_alone(walk, with_others_in_names(walk, line)) if _A_WORD.search(line) else line


_A_WORD = re.compile(r"(?i)(?<![\w])(?![pnu\u00b5\u03bcmk][fcvj]\b)[a-z]{2,}\b")  # and no unit


def with_others_in_names(walk: Walk, line: str) -> str:
    """A line in which a value that is said of the others in hand stands under their names."""
    question = next_question(walk)
    if question is None or not (question.going_back or question.about in VALUE_QUESTIONS):
        return line
    asked, parts = question.quantity, question.step.parts if question.step is not None else ()
    return others_in_names(line, [c.name for c in parts], asked.name if asked else None)


def values_alone(walk: Walk, line: str) -> str:
    """A line without a reason that stands between its values, where values are asked."""
    question = next_question(walk)
    is_of_values = question is not None and question.about in VALUE_QUESTIONS
    return without_reason_between(line) if is_of_values else line


def _in_points_kept(walk: Walk, line: str) -> str:
    """A line with the names that are kept of points which a wire makes one; a letter of a quantity
    may be meant as that.
    """
    for kept, *others in walk.problem.joined:
        for name in others:
            if name not in WHOLE_NAMES:
                line = re.sub(rf"(?<![\w.]){re.escape(name)}(?![\w'])", kept, line)
    return line


def _of_each(walk: Walk, question: Question, line: str) -> Turn | None:
    """What follows an amount that is said of each, judged for all of them; None for other lines."""
    if question.about not in VALUE_QUESTIONS or not EVERY.search(line):
        return None
    from tutor.teaching.amounts_of_walk import of_each_in_names  # late: seldom said

    said = of_each_in_names(walk, line)
    if said is None:
        return None
    turn = hear_each(walk._replace(aside=None), question, said.line, _one_answer)
    judged = next((each for each in turn.messages if each.verdict == "wrong"), None)
    return _not_of_each(turn, said.lead, judged) if said.lead and judged else turn


def _not_of_each(turn: Turn, lead: str, judged: Message) -> Turn:
    """What is so on one and said of each: why it is not so on another, and the question once more.
    How it came about is plain, so no wrong idea is looked for.
    """
    text = lead if judged.malrules else f"{lead} {judged.text}"
    seen = judged.seen and judged.seen._replace(malrules=(), blamed=(), sure=False)
    told = judged._replace(text=text, malrules=(), seen=seen)
    return ask_again(turn.task._replace(aside=None), [told])


def _with_value_apart(walk: Walk, question: Question, line: str, turn: Turn) -> Turn | None:
    """A choice that was not taken, with the value that it comes to told apart; None where that
    makes it no right one.
    """
    is_taken = turn.task.steps != walk.steps or turn.task.pending is not None
    if is_taken or not re.search(r"\d", in_figures(line)):
        return None
    from tutor.teaching.value_made import with_value_apart  # late: most choices are taken

    meant = with_value_apart(walk, line)
    again = hear_each(walk, question, meant, _one_answer) if meant is not None else None
    is_so = again is not None and not any(m.verdict == "wrong" for m in again.messages)
    return again if is_so else None


def _may_say_more(walk: Walk, question: Question, turn: Turn, line: str) -> bool:
    """Whether a line may hold values that were not taken: not where words are asked and judged."""
    missed = [m for m in turn.messages if m.verdict not in (None, "right")]
    if not missed:
        return question.about in VALUE_QUESTIONS and len(re.findall(r"(?<![\w.,])\d", line)) > 1
    is_of_words = question.about in ("shares", "reason") and "=" not in line
    if is_of_words and conclusion_in(line, walk.network):
        return len(_WITH_UNIT.findall(line)) > 1 and _SHARED_WORD.search(line) is None
    return question.about in VALUE_QUESTIONS or any(
        m.verdict != "wrong" or m.about in VALUE_QUESTIONS for m in missed
    )


def _one_answer(walk: Walk, question: Question, line: str) -> Turn:
    if at_the_end(walk) and walk.aside is None and _names_alone(walk, line):
        walk = answering.by_steps(walk)  # who begins with a step wants to take them all
        question = next_question(walk) or question
    if request_in(line) == "unsure":  # one piece of a line of several
        return with_evidence(walk, question, requests.unsure(walk), "unsure")
    told = ""
    if question.about in ("shares", "reason"):
        needs = question.about == "shares"
        network = standing_network(walk)
        line, told = without_unknown_points(line, network, needs_what_is_shared=needs)
    turn = with_evidence(walk, question, _taken(walk, question, line))
    return turn._replace(messages=(Message("say", told), *turn.messages)) if told else turn


def _taken(walk: Walk, question: Question, line: str) -> Turn:
    if walk.aside is not None and (turn := asides.reply(walk, question, walk.aside, line)):
        return turn
    aside, walk = walk.aside, walk._replace(aside=None)
    if aside is not None and (turn := _of_values_back(walk, aside, line)):
        return turn
    if aside is not None and (turn := asides.on_sizes(walk, aside, line)):
        return turn
    if (said := to_what_was_asked(walk, question, aside, line)) is not None:
        told = Message("say", in_terms(said, speech_of(walk)))
        return ask_again(walk._replace(unsure=True), [told])
    if aside is not None and (turn := asides.on_its_sum(walk, question, aside, line)):
        return turn
    if aside is not None and asides.is_a_thought(walk, line):
        return asides.in_words(walk, question, aside, line)
    heard = understand(walk, question, line)
    if isinstance(heard, Puzzling) and aside is not None:
        return asides.in_words(walk, question, aside, line)
    handler = LEGAL.get((question.about, type(heard)), _not_asked)
    return handler(walk, question, heard)


def _of_values_back(walk: Walk, aside: Aside, line: str) -> Turn | None:
    """What is said to values that a question asked back expects, or to others in their place."""
    from tutor.teaching.rules.awaited_values import VALUES_BACK  # late: most answers need none

    if aside.kind != "ask" or not aside.options or aside.options[0][0] not in VALUES_BACK:
        return None
    from tutor.teaching.amounts_of_walk import to_asked_back

    found = to_asked_back(walk, aside, line)
    if found is None:
        return None
    told = Message("say", in_terms(found.text, speech_of(walk)))
    return ask_again(walk._replace(aside=aside if found.found == "part" else None), [told])


def to_what_was_asked(
    walk: Walk, question: Question, aside: Aside | None, line: str
) -> str | None:
    """What is said to a line that answers a follow-up or a hint, and not the question in hand."""
    if aside is None and not walk.rung:
        return None  # nothing was asked besides
    concludes = question.about in ("shares", "reason") and conclusion_in(line, walk.network)
    if aside is None and concludes:
        return None  # it goes on to answer the question itself
    item = follow_ups.item_of(walk, question, aside)
    parts = question.step.parts if question.step is not None else given(walk)
    sizes = {c.name: c.value for c in parts}
    said = follow_ups.said_to(item, line, sizes) if item is not None else None
    if said is None:
        said = follow_ups.on_what_adds(question, line)
    said = said or follow_ups.on_hint_of_values(walk, question, line)
    said = said or follow_ups.on_hint_of_metal(walk, question, line)
    return said or (None if concludes else follow_ups.on_hint_of_points(walk, question, line))


def _no_value(walk: Walk, question: Question, line: str) -> Puzzling | None:
    """What is said to a line that cannot be a value, where one is asked; None for any other."""
    if _names_alone(walk, line):
        return Puzzling("Those are names of capacitors; here one value is wanted.")
    told = said_to_no_value(line, walk.truth.get(question.quantity or Quantity("C")) == 0)
    return Puzzling(told, told != A_VALUE) if told is not None else None


def understand(walk: Walk, question: Question, line: str) -> Heard:
    """What a line says, read in the light of the question."""
    if question.about in VALUE_QUESTIONS:
        said_instead = _no_value(walk, question, line)
        line = nought_in_figures(line)
        return said_instead or _values_said(walk, question, _nought_of_it(question, line))
    if question.about == "choice":
        return _choice_said(walk, line)
    line = SAYS_EQUAL.sub(_in_a_word, line)
    if (held := _by_an_amount(walk, question, line)) is not None:
        return held
    if _states_a_value(BECAUSE.split(line)[0]) or _is_in_letters(walk, line):
        return _claims(walk, line)
    if question.about == "reason":
        return Reasoned(points_in(line, walk.network), line)
    if others := _said_of_others(walk, question, line):
        parts = replies_of(walk).names(step_of(question))
        return Puzzling(f"That is said of {listed(others)}; in hand are {parts}.", True)
    if (shared := sharing_in(line, walk.network)) is not None:
        return shared
    if question.going_back and (part := _of_one_part(walk, question, line)) is not None:
        return part
    if question.going_back and re.search(r"\d", line) and len(line.split()) < MOST_OF_AN_AMOUNT:
        difference = speech_of(walk).terms.difference
        return Puzzling(f"Is that a {difference} or a charge, and is it that of the whole?", True)
    return _which_of_the_two(walk, question, line)


def _said_of_others(walk: Walk, question: Question, line: str) -> list[str]:
    """The capacitors that a line begins with, where it is asked what others share: of these, and of
    what they make alone, it says nothing.
    """
    step = question.step
    if step is None or question.going_back:
        return []
    names = {name.lower(): name for name in (*used_names(walk), *names_to_come(walk))}
    words = re.findall(r"\w+'*", line.lower())
    leading = takewhile(lambda word: word in names or word in ("and", "with"), words)
    said = [names[word] for word in leading if word in names]
    is_of_these = {c.name for c in step.parts} & {*said} or {*said} <= {step.made}
    return [] if is_of_these else said


def _nought_of_it(question: Question, line: str) -> str:
    """C4 = 0 as 0, where its charge or p.d. is asked: no capacitor is of 0 µF."""
    asked, found = question.quantity, _NAMED_NOUGHT.fullmatch(line)
    is_of_it = asked is not None and found is not None and found[1].upper() == asked.of
    return "0" if is_of_it and asked is not None and asked.symbol != "C" else line


_NAMED_NOUGHT = re.compile(r"(?i)\W*(c_?\d+)\s*(?:=|is)\s*(?:at\s+)?0\W*")


def _choice_said(walk: Walk, line: str) -> Heard:
    """Which capacitors a line names, where it states no value of what they make."""
    line = _NAMED_TO_BE.sub(r"\1 = ", _bridge_left_out(walk, line))
    if _A_SUM.search(line) and not any(in_letters(c.value) for c in walk.network.capacitors):
        line = with_unit(_PREFIX_ALONE.sub(r"\1 \2F", line), "F")
    found = capacitors_in(line, walk.network, walk.problem.powers["capacitance"], walk.made)
    is_called_so = _CALLED_A_BRIDGE.search(line) is not None
    if is_stuck(walk) and is_called_so and not re.search(r"(?i)\bc_?\d", line):
        return Chosen((), None, reason=line)
    if found is not None and not found.names and _affirms_one_kind(walk, line):
        return Puzzling("Then which are they? Name them.", True)
    names_them = found is not None and len(found.names) > 1 and not found.unknown
    if _states_a_value(BECAUSE.split(line)[0]) and not (
        names_them and _several_values(line)
    ):
        return _claims(walk, line)
    if wish := exchange_in(line, walk.network):
        return wish
    if found is None and re.search(r"(?i)\bbalanc", line) and walk.network.points()[2:]:
        return Chosen((), "balance")
    if found is None and is_stuck(walk) and _looks_beyond(walk, line):
        return Chosen((), None)
    if found and found.names[1:] and isinstance(examine(walk.network, found.names), Fault):
        found = first_of_pairs(walk, line) or found
    if found or not re.search(r"[\d=]", line):
        return found or sharing_in(line, walk.network) or Puzzling("")
    return sharing_in(line, walk.network) or _claims(walk, line)


_A_SUM = re.compile(r"\d\s*[A-Za-zµμ]*\s*\+\s*\d[^=]*=")
_PREFIX_ALONE = re.compile(r"(\d)\s*([pnuµμ])(?=\s*[+=])")  # 5n + 1n
_CALLED_A_BRIDGE = re.compile(r"(?i)\bbalanced\b|\bbridge\b")
_ONLY_A_BRIDGE = re.compile(r"(?i)\b(?:just|only|merely)\s+(?:the|a)\s+bridge\b")  # of one of them
_THE_BRIDGE = re.compile(r"(?i)\b(?:the|that|this)\s+bridge\b")
_OUT = re.compile(r"(?i)\b(?:leave|left|drop|remov\w*|take|out|away|ignore|skip|delete)\b")


def _affirms_one_kind(walk: Walk, line: str) -> bool:
    """Whether a line denies one kind of joining and affirms the other, without naming anybody."""
    has_both = {*_JOINED.findall(line.lower())} == {"series", "parallel"}
    return has_both and not is_stuck(walk) and len(_DENIES.findall(line)) == 1


_DENIES = re.compile(r"(?i)\b(?:no|none|not|nothing|never)\b|n['’]t\b")


def _bridge_left_out(walk: Walk, line: str) -> str:
    """The name of the one capacitor between inner points, where the bridge is to be left out."""
    line = _ONLY_A_BRIDGE.sub(" ", line)
    if not is_stuck(walk) or not _OUT.search(line):
        return line
    ends = set(walk.network.ends)
    inner = [c.name for c in walk.network.capacitors if not c.points & ends]
    return _THE_BRIDGE.sub(inner[0], line) if len(inner) == 1 else line


# C12 is 16 uF: the value of one that its name tells how to make.
_NAMED_TO_BE = re.compile(
    r"(?i)\b(c_?\d{2,})\s+(?:is|are|will\s+be|would\s+be|becomes|equals|makes|gives|comes\s+to)\s+"
    r"(?=[\d.])"
)


def _in_a_word(found: re.Match[str]) -> str:
    return "same charge" if found[1] in "qQ" else "same p.d."


def _several_values(line: str) -> bool:
    """Whether a line has capacitances of several, and says of none that it equals another."""
    return "=" not in line and len(re.findall(rf"\d\s*(?=\w?F){UNIT_SIGN}", line)) > 1


_ONE_AMOUNT = re.compile(
    r"(?<![\w.,])(\d+(?:[.,]\d+)?)\s*"
    r"([pnuµμmk]?([VC])(?![A-Za-z])|volts?\b|\w*coulombs?\b)?"
)
_OF_A_PART = frozenset(("split", "portion", "used", "neg", "add"))
_CLAUSE = re.compile(r"(?i),(?!\d)|;|\.(?!\d)|\b(?:but|while|whereas)\b")
_EACH = re.compile(r"(?i)\b(?:each|apiece|every\s+one|both|all\s+(?:of\s+them|three|four))\b")
_PARTED = re.compile(r"(?i)\b(?:split|splits|divid\w+|shared\s+out|halved|thirds|between\s+them)\b")


def _by_an_amount(walk: Walk, question: Question, line: str) -> Shared | Claimed | None:
    """An amount where it is asked what passes on: 'the 48', or '48 uC each', for the charge of
    48 µC; '16 uC each' for a charge that is divided; '5 V each' where each does have 5 V.
    """
    step = question.step
    made = step.makes if step is not None else None
    amounts = [*_ONE_AMOUNT.finditer(line)]
    if len(amounts) > 1 and (of_each := _said_of_each(line)):
        found = _by_an_amount(walk, question, of_each)
        return found if isinstance(found, Shared) and not found.divided else None
    if made is None or question.about != "shares" or len(amounts) != 1 or "=" in line:
        return None
    number, unit = amounts[0][1].replace(",", "."), (amounts[0][3] or (amounts[0][2] or " ")[:1])
    kinds = [
        (symbol, kind, Fraction(number) * Fraction(10) ** walk.problem.powers[kind])
        for symbol, kind in _HELD if unit == " " or (unit in "Vv") is (symbol == "V")
    ]
    held = [
        each for each in kinds if walk.known.get(Quantity(each[0], made.name)) == each[2]
    ]
    said_of_it = next(each for each in _CLAUSE.split(line) if amounts[0][0] in each)
    if len(held) == 1 and not _is_of_a_part(said_of_it):
        return Shared(held[0][1], (), line)
    if len(held) == 1 and unit != " " and _PARTED.search(said_of_it):
        return Shared(held[0][1], (), line, True)
    if unit == " " or held or not _EACH.search(line) or re.search(r"[-+*/]", line):
        return None
    (symbol, kind, amount), parts = kinds[0], step.parts if step is not None else ()
    names = [Quantity(symbol, c.name) for c in parts]
    is_so = all(walk.truth.get(each) == amount for each in names)
    if not question.going_back:
        return Shared(kind, (), line) if is_so else None
    if is_so:
        told = ", ".join(f"{each.name} = {number} {unit}" for each in names)
        return Claimed(read(walk, told))
    return Shared(kind, (), line, True)


def _said_of_each(line: str) -> str:
    """The one amount with a unit that a line of several says of each, also where that stands in
    the clause behind it: the 120 µC, both of them; then 15 V and 5 V. Nothing where it says none.
    """
    clauses = [each for each in _CLAUSE.split(line) if re.search(r"\w", each)]
    for at, clause in enumerate(clauses):
        amounts = [*_ONE_AMOUNT.finditer(clause)]
        with_next = clauses[at + 1] if at + 1 < len(clauses) else ""
        if _ONE_AMOUNT.search(with_next):
            with_next = ""
        if len(amounts) == 1 and amounts[0][2] and _EACH.search(f"{clause}, {with_next}"):
            return f"{clause.strip()} {with_next.strip()}".strip()
    return ""


def _of_one_part(walk: Walk, question: Question, line: str) -> Claimed | None:
    """A value without its name that is right for one part alone: 9 times 4.5 for Q2."""
    heard = _claims(walk, nought_in_figures(line)) if re.search(r"\d", line) else None
    if not isinstance(heard, Claimed) or len(heard.claims) != 1 or question.step is None:
        return None
    claim, fitting = heard.claims[0], []
    for part in question.step.parts:
        for symbol, _ in _HELD:
            quantity = Quantity(symbol, part.name)
            with suppress(Refusal):
                stated = state(walk, question, claim, quantity) if quantity in walk.truth else None
                fitting += [quantity] if stated and stated.judged.verdict == "right" else []
    if len(fitting) != 1 or claim.target:
        return None
    target = fitting[0].name
    return Claimed((Claim(target, (Name(target), *claim.sides)),), heard.in_words)


def _is_of_a_part(line: str) -> bool:
    return re.search(r"(?i)\b(?:half|third|quarter)\b|[-+*/]", line) is not None or any(
        meanings_of(word) & _OF_A_PART for word in re.findall(r"[a-z]+", line.lower())
    )


_HELD: tuple[tuple[Literal["V", "Q"], Literal["voltage", "charge"]], ...] = (
    ("V", "voltage"), ("Q", "charge"),
)


def _which_of_the_two(walk: Walk, question: Question, line: str) -> Puzzling:
    """A question back, where words speak of the matter and decide for neither."""
    terms, step = speech_of(walk).terms, question.step
    said = (kinds := _JOINED.findall(line.lower())) and not re.search(r"(?i)\bnot\b|n['’]t\b", line)
    if said and len(kinds) == 1 and step is not None and step.joining is not None:
        if kinds[0] != step.kind and not question.going_back:
            return Puzzling(replies_of(walk).joined_otherwise(step.parts, kinds[0]), True)
        return Puzzling(f"And which does that make it: the {terms.difference} or the charge?", True)
    if re.match(r"(?i)\W*(?:both|neither|none)\b", line):
        return Puzzling(f"It is one of the two, whatever the values: the {terms.difference} or the "
                        "charge?", True)
    if speaks_to_the_point(line) or _REFERS.match(line):
        return Puzzling(f"And which does that make it: the {terms.difference} or the charge?", True)
    return Puzzling("")


_JOINED = re.compile(r"\b(series|parallel)\b")
# The one that is not split up: of which of the two it is said is open.
_REFERS = re.compile(
    r"(?i)\W*(?:it(?:['’]?s|\s+is)\s+)?"
    r"(?:the\s+(?:same\s+)?(?:one|thing)|what(?:ever)?|whichever)\s+\w+"
)


def _looks_beyond(walk: Walk, line: str) -> bool:
    """Whether floating points, their potentials or the balance of charges are spoken of."""
    words = r"(?i)\b(?:balanc\w*|potentials?|symmetr\w*|equations?|bridge)\b"
    return bool(re.search(words, line) or points_in(line, walk.network))


def _names_alone(walk: Walk, line: str) -> bool:
    """Whether a line is two or more names of capacitors and nothing else, be it that some are said
    not to be meant.
    """
    words = _BETWEEN_NAMES.sub(" ", line).split()
    return len(words) > 1 and {word.upper() for word in words} <= {
        c.name.upper() for c in walk.problem.network.capacitors
    } | {name.upper() for name in walk.made}


_BETWEEN_NAMES = re.compile(r"(?i)\b(?:and|with|without|but|not|just|only|or|nor)\b|[,;.&]")


def _states_a_value(line: str) -> bool:
    """Whether a line is a statement of values rather than of names or words."""
    return "=" in line or A_FRACTION.fullmatch(line) is not None or bool(
        re.match(rf"\s*[-+−]?[\d.,/ ]*\d\s*{UNIT_SIGN}", line)
        and not re.search(r"(?i)\b(?:and|the|series|parallel)\b|,\s", line)
    )


def _is_in_letters(walk: Walk, line: str) -> bool:
    """Whether a line is nothing but values in the letters of the problem: 2V/3, V/3."""
    values = [*(c.value for c in given(walk)), walk.known.get(Quantity("V"), 0)]
    in_all = " ".join(str(each) for each in values if in_letters(each))
    letters = {*re.findall(r"[A-Za-z]", in_all)}
    words = re.findall(r"[A-Za-z]+", re.sub(r"\band\b", "", line))
    return bool(letters) and re.search(r"[\d/(]", line) is not None and bool(words) and all(
        {*word} <= letters for word in words
    ) and re.search(r"[^\w\s+*/().,×-]", line) is None


def _values_said(walk: Walk, question: Question, line: str) -> Heard:
    if is_plain_value(line):
        return _claims(walk, line)
    if not re.search(r"[\d=]|(?i:\b[cqvue]_?t)", in_figures(line)) and speaks_to_the_point(line):
        heard = _claims(walk, line)
        is_settled = isinstance(heard, Claimed) or (isinstance(heard, Puzzling) and heard.asks)
        return heard if is_settled else Puzzling(HOW_MUCH, True)
    try:
        line = with_names(walk, question, line)
    except Unsettled as unsettled:
        return Puzzling(str(unsettled), True)
    heard = _claims(walk, line)
    is_read = isinstance(heard, Claimed) or (isinstance(heard, Puzzling) and heard.asks)
    is_a_way = not is_read and tells_a_way(line) and not _OF_FORMULAS.search(line)
    return Puzzling(HOW_MUCH, True) if is_a_way else heard


_OF_FORMULAS = re.compile(r"(?i)\b(?:formulae?|equations?|laws?|rules?)\b")


def _claims(walk: Walk, line: str) -> Heard:
    try:
        return Claimed(read(walk, line), _WORDS_TOO.search(line) is not None)
    except Unsettled as unsettled:
        return Puzzling(str(unsettled), True)
    except Refusal as refusal:
        from tutor.teaching.told_in_turn import in_one_of_two_ways  # late: most lines are read

        if in_one_way := in_one_of_two_ways(walk, line):
            return Claimed(in_one_way, _WORDS_TOO.search(line) is not None)
        in_words = "=" not in line and re.search(r"(?i)\b(series|parallel|share|same)\b", line)
        text = refusal.found if refusal.cure == ANY_VALUE else str(refusal)  # its unit follows
        return Puzzling("" if in_words else in_terms(text, speech_of(walk)))


def _not_asked(walk: Walk, question: Question, heard: Heard) -> Turn:
    """Say what the question wants; nothing is counted against the learner."""
    why = heard.why if isinstance(heard, Puzzling) else ""
    if isinstance(heard, Puzzling) and heard.asks:
        said = Message("verdict", why, about=question.about, verdict="incomplete")
        return ask_again(walk, [said])
    text = " ".join(filter(None, (why, _WANTED[question.about])))
    said = Message("verdict", text, about=question.about, verdict="unread")
    return ask_again(walk, [said])


_WANTED: Mapping[About, str] = MappingProxyType({
    "choice": "Name capacitors of the network here, like C1 C2; or say 'I don't know'.",
    "shares": "Say which of the two it is; or say 'I don't know'.",
    "reason": "Give a letter, the points, or your own words; or say 'I don't know'.",
    "value": "Give a capacitance, like 5 uF, or a line like C23 = C2 + C3 = 5 uF.",
    "charge": "Give a charge, like 24 uC; or say 'I don't know'.",
    "voltage": "Give a number of volts, like 8 V; or say 'I don't know'.",
    "energy": "Give an energy, like 96 uJ; or say 'I don't know'.",
    "check": "Give one value with its unit; or say 'I don't know'.",
})

def _of_the_only_two(walk: Walk, question: Question, heard: Any) -> Turn:
    """What is shared, said where it was asked which can be combined: of two there are no others."""
    if len(walk.network.capacitors) != 2 or is_stuck(walk):
        return _not_asked(walk, question, heard)
    begun, said = show_choice(walk, "{} are the only two, so take these.")
    asked = next_question(begun)
    if asked is None or asked.about != "shares":
        return _not_asked(walk, question, heard)
    turn = answering.shares(begun, asked, heard)
    return turn._replace(messages=(*said, *turn.messages))


LEGAL: Mapping[tuple[About, type], Handler] = MappingProxyType({
    ("choice", Chosen): answering.choice,
    ("choice", Claimed): stating.claims,
    ("choice", Exchanging): answering.exchange,
    ("choice", Shared): _of_the_only_two,
    ("shares", Shared): answering.shares,
    ("shares", Claimed): stating.claims,
    ("reason", Reasoned): answering.reason,
    ("reason", Claimed): stating.claims,
    **{(about, Claimed): stating.claims for about in VALUE_QUESTIONS},
})
