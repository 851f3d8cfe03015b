"""A question answered by a letter, marked from what was written for it."""

from __future__ import annotations

from tutor.teaching.marking.awarding import Marks
from tutor.teaching.marking.marked import Credit, Marked, MarkedLine, lines_of
from tutor.teaching.marking.working import WrittenLine
from tutor.teaching.staged.choosing import named, offered
from tutor.teaching.staged.story import Ask, Option, Story
from tutor.teaching.staged.story_skills import key_of


def mark_choice(story: Story, text: str) -> Marked:
    """One mark for the one question of a story; of two different answers neither counts.

    Raises Refusal for a script of too many lines.
    """
    (ask,) = story.asks
    read = [(line, _chosen(ask, line)) for line in lines_of(text)]
    chosen = dict.fromkeys(option for _, option in read if option is not None)
    earned = len(chosen) == 1 and next(iter(chosen)).is_right
    last = next((line.number for line, option in reversed(read) if option is not None), None)
    lines = [
        _line(ask, line, option, (len(chosen) > 1, earned, line.number == last))
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
    left = () if answered else ("the answer",)
    return Marked(tuple(lines), int(earned), 1, scheme, first, left, (credit,))


def _chosen(ask: Ask, line: WrittenLine) -> Option | None:
    """The one entry that a line names; None for none, for several and for a line crossed out."""
    found = named(ask, line.text) if line.text.strip() and not line.crossed_out else []
    return found[0] if len(found) == 1 else None


def _line(
    ask: Ask, line: WrittenLine, option: Option | None, ruled: tuple[bool, bool, bool]
) -> MarkedLine:
    """One line; ``ruled``: other lines say otherwise, the mark is earned, it stands here."""
    contradicted, earned, is_last = ruled
    marks = Marks(independent=int(earned and is_last), of=int(is_last))
    if option is None:
        remark = offered(ask.options, lettered=True) if line.text.strip() else "A blank line."
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
