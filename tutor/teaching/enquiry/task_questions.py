"""Questions about the task itself: what to do, what for, how to write it, how far it is."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from tutor.teaching.enquiry.doubts import QuestionTopic
from tutor.teaching.enquiry.matter import Matter
from tutor.teaching.messages import About

_IN_OTHER_WORDS: Mapping[About, str] = MappingProxyType({
    "choice": "Find some that could be replaced by a single capacitor: two with both plates at the "
              "same two points, or two that meet where nothing else is joined. Type their names, "
              "or 'none'.",
    "shares": "One of two things is the same for each of them, its own {pd} or its own charge. "
              "Say which, and by which points you see it.",
    "reason": "You have said what is the same for each; now say what in the network makes it so, "
              "by a letter of the list, by points, or in words of your own.",
    "value": "A capacitance is wanted, with its unit; a sum such as 2 + 3 may be typed as it "
             "stands.",
    "charge": "A charge is wanted, with its unit; a product such as 2 uF * 3 V may be typed as it "
              "stands.",
    "voltage": "A number of volts is wanted; a quotient such as 24/6 may be typed as it stands.",
    "potential": "A number of volts is wanted, counted from the end that is called zero.",
    "energy": "An energy is wanted, with its unit.",
    "check": "Say what that sum must be if all is right, before it is added up.",
    "change": "Nothing is to be worked out: say which way each one goes, up, down or same.",
})
_WHAT_FOR: Mapping[About, str] = MappingProxyType({
    "choice": "Each two that are replaced by one leave a simpler network, until a single capacitor "
              "is left, and for that Q = C V is enough.",
    "shares": "What is shared decides what adds up, so it comes before any rule.",
    "reason": "The reason tells you in any other network whether the rule may be used.",
    "value": "With one value for several the network has one capacitor less.",
    "check": "If it did not come out, a step before it would be wrong.",
    "change": "Saying beforehand which way it goes shows whether the reason is understood.",
})


def in_other_words(m: Matter) -> str:
    """The question in hand said differently."""
    if m.wants:
        return m.wants
    told = _IN_OTHER_WORDS.get(m.about) if m.about is not None else None
    if told is None:
        return "One answer is wanted to the question below; 'hint' says where to look for it."
    return told.replace("{pd}", m.speech.terms.difference)


def _what_for(m: Matter) -> str:
    told = _WHAT_FOR.get(m.about) if m.about is not None else None
    return told or "It is needed on the way to what is wanted in the end; 'list' says what that is."


def _units(m: Matter) -> str:
    if not m.unit:
        return "No unit is wanted now, or one that the question names."
    return f"It is in {m.unit} here; any other prefix is taken too."


FORMULA: Final = (
    "Everything here comes of Q = C V for each capacitor: at one {pd} the charges add, at one "
    "charge the {pds}. 'hint' leads from there to this one."
)


def _is_it_right(m: Matter) -> str:
    if m.was_wrong:
        return "The last one did not fit. Say another, and I'll tell you."
    return "Say it as your answer, and I'll tell you."


def _other_way(m: Matter) -> str:
    if m.about == "choice":
        return (
            "Often there is: any that share one of the two for certain may be combined, in any "
            "order; 'balance' or a star works from any network."
        )
    return (
        "Any way is taken that is right: a sum as it stands, several values in one line, or the "
        "last value at once."
    )


def _left(m: Matter) -> str:
    return m.left or "'where are we' tells how far this is."


def _typing(m: Matter) -> str:
    return f"{in_other_words(m)} 'help' lists what else can be typed."


def _figures(m: Matter) -> str:
    return f"Two or three figures are enough; a fraction may stay a fraction. {_units(m)}"


TASK_TOPICS: Final[tuple[QuestionTopic, ...]] = (
    QuestionTopic(("what", "suppos meant want should have",
                   "to_do i_do we_do to_say say answer type write"), in_other_words),
    QuestionTopic(("what how", "am must should do_i do_we", "i_do do_now to_do answer now"),
                  in_other_words),
    QuestionTopic(("other_word rephras reword differ simpler simpli again english",
                   "say mean put explain in word speak talk"), in_other_words),
    QuestionTopic(("what", "you_mean they_mean that_mean this_mean it_mean question_mean"),
                  in_other_words),
    QuestionTopic(("lost",  "you me"), in_other_words),
    QuestionTopic(("question", "understand get mean explain what"), in_other_words),
    QuestionTopic(("huh eh",), in_other_words),
    QuestionTopic(("what_for",), _what_for),
    QuestionTopic(("why what", "point_of use_of bother even_want need would purpos care"),
                  _what_for),
    QuestionTopic(("why", "this that", "step do question check"), _what_for),
    QuestionTopic(("how what", "type write enter put_in input", "i can do should answer"), _typing),
    QuestionTopic(("where how", "number come came valu get_that got_that from"),
        "'where are we' lists every value that is known so far, 'why' the reason of the last."),
    QuestionTopic(("other anoth els differ", "way method rout how"), _other_way),
    QuestionTopic(("can could is", "symmetri short_cut shortcut trick"), _other_way),
    QuestionTopic(("how_mani how_much", "step left more question to_go"), _left),
    QuestionTopic(("how_long how_far", "this is take left"), _left),
    QuestionTopic(("nearli almost are_we is_it yet", "done finish there over"), _left),
    QuestionTopic(("is am was", "right correct wrong ok true"), _is_it_right),
    QuestionTopic(("calcul",),
        "Use one if you like; or type the sum itself, like 4*6/(4+6), and it is worked out."),
    QuestionTopic(("what which do", "unit"), _units),
    QuestionTopic(("formula equat",), FORMULA),
    QuestionTopic(("what which how", "formula equat rule law"), FORMULA),
    QuestionTopic(("how_mani", "figur decim digit place sf dp"), _figures),
    QuestionTopic(("round decim estim approxim", "how should can ok do_i is"), _figures),
    QuestionTopic(("draw pictur diagram sketch",),
        "'drawing' draws it, 'list' says it in words."),
    QuestionTopic(("letter name call", "book mean why who"),
        "Names and letters here stand for this network; 'list' tells them all."),
)
