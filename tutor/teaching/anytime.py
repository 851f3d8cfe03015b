"""What is open at any moment beside the walk: what if, the fair copy, the settings."""

from __future__ import annotations

from grammar.records import Refusal
from tutor.teaching.hearing import plain
from tutor.teaching.marking.faircopy import ASKING, HOW_TO_SAVE, SAVING, fair_copy, file_in
from tutor.teaching.messages import Message
from tutor.teaching.settings import Settings, in_words, set_by_words, setting_in
from tutor.teaching.turn import Turn, ask_again, speech_of
from tutor.teaching.walk import Walk
from tutor.teaching.whatif import supposition
from tutor.teaching.whatif.change_words import opens

SETTINGS_WORDS = frozenset({
    "settings", "the settings", "my settings", "show settings", "show the settings",
    "show my settings", "setting", "options", "preferences", "change settings",
    "what can i set", "what can be set",
})


def takes(walk: Walk, line: str) -> bool:
    """Whether ``hear`` of this room answers the line, whatever else it might look like."""
    return walk.whatif is not None or opens(line) is not None or is_beside(walk, line)


def is_beside(walk: Walk, line: str) -> bool:
    """Whether a line asks for the fair copy or the settings, which leave everything where it is."""
    return (
        file_in(line) is not None
        or plain(line) in ASKING | SAVING | SETTINGS_WORDS
        or _wanted(walk, line) is not None
    )


def hear(walk: Walk, line: str) -> Turn | None:
    """Answer what may be said at any moment; None for a line that belongs to the walk."""
    words = plain(line)
    name = file_in(line)
    if name is not None or words in ASKING:
        copy = Message("reveal", fair_copy(walk, speech_of(walk)), save_as=name)
        return _go_on(walk, [copy])
    if words in SAVING:
        return _go_on(walk, [Message("say", HOW_TO_SAVE)])
    if words in SETTINGS_WORDS:
        return _go_on(walk, [Message("say", in_words(walk.terms))])
    wanted = _wanted(walk, line)
    if wanted is not None:
        return _set(walk, wanted)
    return supposition.hear(walk, line)


def _wanted(walk: Walk, line: str) -> str | None:
    return setting_in(line, [c.name for c in walk.network.capacitors])


def _set(walk: Walk, wanted: str) -> Turn:
    try:
        settings = set_by_words(walk.terms, wanted)
    except Refusal as refusal:
        return _go_on(walk, [Message("verdict", str(refusal), verdict="unread")])
    return _go_on(
        with_settings(walk, settings), [Message("say", in_words(settings), keep=settings)]
    )


def with_settings(walk: Walk, settings: Settings) -> Walk:
    """The walk in other words and letters, the walks to go back to as well."""
    before = tuple(with_settings(earlier, settings) for earlier in walk.before)
    return walk._replace(terms=settings, before=before)


def _go_on(walk: Walk, said: list[Message]) -> Turn:
    """The question in hand again, be it that of a what-if or of the walk."""
    if walk.whatif is not None:
        return Turn(walk, (*said, supposition.ask(walk)))
    return ask_again(walk, said)
