"""A question answered by a letter, marked from what was written for it."""

from __future__ import annotations

from typing import Final

from tutor.teaching.marking.awarding import Marks
from tutor.teaching.marking.marked import Credit, Marked, MarkedLine, lines_of
from tutor.teaching.marking.working import WrittenLine
from tutor.teaching.staged.choosing import named, named_by_letter
from tutor.teaching.staged.story import Ask, Option, Story
from tutor.teaching.staged.story_skills import key_of

BESIDE_IT: Final = "Not marked: the letter is what counts here."
NOT_HEARD: Final = (
    "This could not be read as one of the answers. Whoever marks this has to look at it; a letter "
    "is read for sure."
)


def mark_choice(story: Story, text: str) -> Marked:
    """One mark for the one question of a story; of two different answers neither counts.

    Raises Refusal for a script of too many lines.
    """
    (ask,) = story.asks
    written = lines_of(text)
    by_letter = any(named_by_letter(ask, line.text) for line in written if not line.crossed_out)
    read = [(line, _chosen(ask, line, by_letter)) for line in written]
    chosen = dict.fromkeys(option for _, option in read if option is not None)
    earned = len(chosen) == 1 and next(iter(chosen)).is_right
    last = next((line.number for line, option in reversed(read) if option is not None), None)
    lines = [
        _line(ask, line, option, (len(chosen) > 1, earned, line.number == last, by_letter))
        for line, option in read
    ]
    answered = tuple(line.line for line in lines if line.verdict in ("right", "wrong"))
    malrules = tuple(dict.fromkeys(m for line in lines for m in line.malrules))
    credit = Credit(
        key_of(0, ask),
        "the answer",
        int(earned),
        1,
        answered,
        ("right" if earned else "wrong") if answered else None,
        malrules,
    )
    scheme = (f"B1 {ask.reveal.split(chr(10))[0].rstrip('.')}",)
    first = next((line.line for line in lines if line.verdict == "wrong"), None)
    is_empty = not any(line.text.strip() for line in written if not line.crossed_out)
    left = ("the answer",) if is_empty else ()
    return Marked(tuple(lines), int(earned), 1, scheme, first, left, (credit,))


def _chosen(ask: Ask, line: WrittenLine, by_letter: bool) -> Option | None:
    """The one entry that a line names; None for none, for several and for a line crossed out.
    ``by_letter``: some line gives a letter, so that words on another are its reason.
    """
    if not line.text.strip() or line.crossed_out:
        return None
    found = named_by_letter(ask, line.text) if by_letter else named(ask, line.text)
    return found[0] if len(found) == 1 else None


def _line(
    ask: Ask, line: WrittenLine, option: Option | None, ruled: tuple[bool, bool, bool, bool]
) -> MarkedLine:
    """One line; ``ruled``: other lines say otherwise, the mark is earned, it stands here, and some
    line gives a letter.
    """
    contradicted, earned, is_last, by_letter = ruled
    marks = Marks(independent=int(earned and is_last), of=int(is_last))
    if option is None:
        unread = BESIDE_IT if by_letter else NOT_HEARD
        remark = unread if line.text.strip() else "A blank line."
        remark = "Crossed out, so not marked." if line.crossed_out else remark
        return MarkedLine(line.number, line.text, "", "unread", None, (), Marks(), remark)
    remark = f"Right. {ask.because}".rstrip() if option.is_right else option.reply
    if contradicted:
        remark = f"Two different answers stand here, so neither counts. {option.reply}".rstrip()
    return MarkedLine(
        line.number,
        line.text,
        "the answer",
        "right" if option.is_right else "wrong",
        None if option.is_right else "malrule" if option.malrules else None,
        option.malrules,
        marks,
        remark,
    )
