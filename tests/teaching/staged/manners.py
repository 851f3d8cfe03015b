"""Stories in tests: told from end to end, with answers that are right and manners that hold."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction

from grammar.lengths import SIZE_SYMBOL
from grammar.quantity import SYMBOL
from grammar.reading import read_network
from tests.teaching.test_wording import NAMES, NEVER
from tutor.teaching.conversation import Replied as Told
from tutor.teaching.exchange import begin_story, hear
from tutor.teaching.messages import Message
from tutor.teaching.rules import rule_text
from tutor.teaching.rules.asked import context_of_ask
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import RuleContext
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.speech import Speech
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Ask, Story


def story(text: str, terms: Settings = DEFAULTS) -> Story:
    """The story of a text; there must be one."""
    found = story_of(read_network(text), terms)
    assert found is not None
    return found


def typed(ask: Ask, figures: int = 6) -> str:
    """The right answer as a learner may type it."""
    if ask.options:
        return next(option for option in ask.options if option.is_right).words[0]
    assert isinstance(ask.right, Fraction)
    number = f"{float(ask.right):.{figures - 1}e}"
    unit = None if ask.pure or ask.dimension is None else {**SYMBOL, **SIZE_SYMBOL}[ask.dimension]
    return number if unit is None else f"{number} {unit}"


def on_facts(facts: Mapping[str, str], right: str) -> RuleContext:
    """The context of a worked example that stands in facts alone."""
    numbers = {name: Fraction(number) for name, number in facts.items()}
    return RuleContext("", Fraction(right), facts=numbers)


def at(told: Story, key: str) -> Told:
    """The dialogue brought to the first question of a kind, all before it answered rightly."""
    turn = begin_story(told)
    for ask in told.asks:
        if ask.key == key:
            return turn
        turn = hear(turn.talk, typed(ask))
    raise AssertionError(f"no question {key}")


def verdict(turn: Told) -> Message:
    return next(message for message in turn.messages if message.kind == "verdict")


def told_rightly(told: Story, terms: Settings = DEFAULTS) -> list[Message]:
    """All that is said to a learner who answers every question rightly."""
    turn = begin_story(told, terms)
    said = [*turn.messages]
    for ask in told.asks:
        turn = hear(turn.talk, typed(ask))
        assert verdict(turn).verdict == "right", (ask.text, typed(ask), turn.messages)
        said += turn.messages
    assert turn.telling.over
    return said


def told_helplessly(told: Story, terms: Settings = DEFAULTS) -> list[Message]:
    """All that is said to one who does not know, every hint of it."""
    turn = begin_story(told, terms)
    said = [*turn.messages]
    for _ in range(200):
        if turn.telling.over:
            return said
        turn = hear(turn.talk, "I don't know")
        said += turn.messages
    raise AssertionError("the story does not end")


def check_manners(told: Story, terms: Settings = DEFAULTS) -> None:
    """No hint holds the value, questions end in one question mark, and the words are kind."""
    speech = Speech(told.powers, terms)
    for ask in told.asks:
        if ask.right is not None and ask.dimension is not None:
            amount = re.escape(speech.amount(ask.right, ask.dimension))
            said = "\n".join([*ask.hints, *(option.reply for option in ask.options)])
            assert not re.search(rf"(?<![\d.]){amount}", said), said
        context = context_of_ask(ask, told.powers)
        for rule in CATALOGUE if context is not None else ():
            if context is not None and rule.fits(context) and any(rule.wrong(context)):
                for text in (rule_text.route, rule_text.cannot_be, rule_text.question):
                    filled = text(rule, context, speech)
                    assert "{" not in filled
                    assert not NEVER.search(filled), filled
    for message in (*told_rightly(told, terms), *told_helplessly(told, terms)):
        check(message)


def check(message: Message) -> None:
    text = message.text
    assert not NEVER.search(text), text
    assert not NAMES.search(text), text
    assert text == text.strip()
    if message.kind == "ask":
        assert text.count("?") == 1, text


def lines_of(told: Story) -> Iterator[str]:
    """Every line of a story, wherever it stands."""
    yield from told.opening
    for ask in told.asks:
        yield from (ask.text, ask.reveal, ask.because, *ask.hints)
        yield from (option.reply for option in ask.options)
    yield from (*told.closing, *told.cautions)
