"""Where series and parallel stick: a star in the place of a triangle, or a triangle for a star.

It is another way to the whole than by potentials, so that no mark is for its values by themselves;
right ones are known as such, and called neither wrong nor values of something else.
"""

from __future__ import annotations

from typing import Final

from grammar.answers import evaluate
from grammar.expressions import Num, names_in
from tutor.teaching.judging import judge
from tutor.teaching.marking.fitting import kind_of
from tutor.teaching.marking.grading import Judgement
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.stories.paper import Paper, capacitances_given
from tutor.teaching.marking.true_in_numbers import holds

NO_QUESTION: Final = -1
_TOLD: Final = "Right on the way by a star or a triangle; no mark is for it by itself."


def on_way_by_star(paper: Paper, said: Said) -> Judgement[int] | None:
    """A capacitance that is right on such a way, of no name that the problem asks for."""
    statement = said.statement
    if not paper.by_star or statement is None or statement.turned or not holds(statement):
        return None
    last, names = statement.sides[-1], {*said.names}
    taken = {ask.name for ask in paper.asks if ask.dimension == "capacitance"}
    if names & {*taken, *capacitances_given(paper)} or not isinstance(last, Num):
        return None
    if kind_of(last) is None:  # farads may have the letter of a point beside them: arm to P
        is_plain = not names_in(*statement.sides) and not names & {ask.name for ask in paper.asks}
        if not is_plain or (len(statement.sides) == 1 and not names):
            return None
    measure, power = evaluate(statement.sides[-1], {}), paper.story.powers["capacitance"]
    if any(judge(measure, "capacitance", power, v).verdict == "right" for v in paper.by_star):
        return Judgement(NO_QUESTION, "right", method=True, given=True, told=_TOLD)
    return None
