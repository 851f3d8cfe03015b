"""The weeks of a class or of one learner as a picture: how much was met, and how much is steady."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from tutor.desk.classes import Week
from tutor.desk.report import Figure
from tutor.desk.report_page import text_of
from tutor.teaching.speech import counted

BAR: Final = 30
WIDE, HIGH, LEFT, FOOT, HEAD = 640, 260, 46, 44, 22
LABELS: Final = 8  # at most so many Mondays are written out


def weeks_figure(weeks: Sequence[Week], of: str) -> Figure:
    """Bars week by week: the skills met in outline, those of them that are steady filled. ``of``
    says whose weeks they are. Nobody is set beside anybody.
    """
    return Figure("".join(_svg(weeks)), tuple(_lines(weeks)), _told(weeks, of))


def _told(weeks: Sequence[Week], of: str) -> str:
    first, last = weeks[0], weeks[-1]
    when = f"In the week of {first.monday}"
    told = f"The weeks of {of}. {when} {_skills(first)}"
    if len(weeks) > 1:
        told += f"; in the week of {last.monday} {_skills(last)}"
    held = counted(last.held, "wrong idea")
    return f"{told}. At the end {held} {'comes' if last.held == 1 else 'come'} back."


def _skills(week: Week) -> str:
    return f"{week.steady} of {counted(week.met, 'skill')} met were steady"


def _lines(weeks: Sequence[Week]) -> Iterator[str]:
    most = max((week.met for week in weeks), default=1) or 1
    for week in weeks:
        met, steady = (round(BAR * number / most) for number in (week.met, week.steady))
        bar = "#" * steady + "-" * (met - steady)
        yield f"  {week.monday}  {bar.ljust(BAR)}  {week.steady} of {week.met}"
    yield "  # steady, - met and not steady yet, at the end of each week;"
    yield "  the day is the Monday on which it began"


def _svg(weeks: Sequence[Week]) -> Iterator[str]:
    most = max((week.met for week in weeks), default=1) or 1
    step = (WIDE - LEFT - 10) / len(weeks)
    tall = HIGH - HEAD - FOOT
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {HIGH}" width="{WIDE}" '
        f'height="{HIGH}" aria-hidden="true" font-family="sans-serif" font-size="12" '
        'fill="currentColor" stroke="none">'
    )
    yield _text(4, 14, "Skills: filled, steady; outlined, met", "start")
    for number in dict.fromkeys((0, (most + 1) // 2, most)):
        y = HEAD + tall * (1 - number / most)
        yield _text(LEFT - 6, y + 4, str(number), "end")
        yield f'<path d="M{LEFT} {y:.1f}H{WIDE - 10}" stroke="currentColor" stroke-width=".4"/>'
    every = -(-len(weeks) // LABELS)
    for at, week in enumerate(weeks):
        x, wide = LEFT + at * step + step * 0.15, step * 0.7
        for number, fill in ((week.met, "none"), (week.steady, "currentColor")):
            high = tall * number / most
            yield (
                f'<rect x="{x:.1f}" y="{HEAD + tall - high:.1f}" width="{wide:.1f}" '
                f'height="{high:.1f}" fill="{fill}" stroke="currentColor"/>'
            )
        if at % every == 0:
            yield _text(x + wide / 2, HIGH - 24, f"{week.monday:%d.%m.}", "middle")
    yield _text((WIDE + LEFT) / 2, HIGH - 6, "Week that began on (day, month)", "middle")
    yield "</svg>"


def _text(x: float, y: float, text: str, anchor: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{text_of(text)}</text>'
