"""What kind of act a line is and which words it is about: looked at once, before all else."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, TypeAlias

from grammar.answers import is_plain_value
from grammar.spoken_numbers import in_figures
from tutor.teaching import dialogue
from tutor.teaching.conversation import Conversation, OpenTask, StagedSupposing, TurnOf
from tutor.teaching.hearing import (
    Request,
    each_by_its_name,
    exchange_in,
    nought_in_figures,
    request_in,
    yes_or_no,
)
from tutor.teaching.messages import Message
from tutor.teaching.staged import supposed, telling
from tutor.teaching.staged.choosing import is_lettered, names_one
from tutor.teaching.staged.story import Telling
from tutor.teaching.turn import ask
from tutor.teaching.walk import Question, Walk, next_question
from tutor.teaching.whatif import supposition
from tutor.teaching.whatif.change import Supposing

if TYPE_CHECKING:
    from tutor.teaching.kinds_of_act import OnOffer

Act: TypeAlias = (
    Request | Literal["question", "thought", "undecided", "unsure", "answer", "suppose", "copy",
                      "how to save", "settings", "set", "building", "exchange", "tell",
                      "too long"]
)
# What can be asked of a problem at any moment, while it goes on and after its end.
AT_ANY_MOMENT = frozenset({"copy", "how to save", "settings", "set", "suppose", "building"})
LONGEST_LINE = 600  # letters: longer ones are no sentence, and no pattern is to go over them
BUILDING = re.compile(r"(?i)\b(?:build|building|solder|breadboard|for real|real capacitors?)\b")


class LineRead(NamedTuple):
    """A line as it was read: what kind of act it is, and the words that the act is about."""

    act: Act
    text: str


_GOES_ON = re.compile(r"(?i)\d.*(?:[,;:.]|\s[-–—]|\b(?:and|so|then|hence|therefore)\b).*\w")


def read(talk: Conversation, line: str) -> LineRead:
    """What kind of act a line is. What is, word for word, an answer on offer is an answer."""
    if len(line) > LONGEST_LINE:
        return LineRead("too long", line)
    from tutor.teaching.act_signs import LEAVES  # late: no first question waits for its patterns
    from tutor.teaching.kinds_of_act import (
        asks_between,
        beside_in,
        is_question,
        opens,
        supposes,
    )

    line = _without_the_question(talk, line)
    task = talk.in_hand
    if isinstance(task, Walk) and _GOES_ON.search(line):
        from tutor.teaching.told_again import without_what_is_known  # late: few lines go on

        line = without_what_is_known(task, line)
    story = task if isinstance(task, Telling) and not task.over else None
    if story is not None and story.ask is not None and names_one(story.ask, line) and (
        is_lettered(story.ask) or ("?" not in line and not asks_between(line))
    ):
        return LineRead("answer", line)
    if BUILDING.search(line):
        return LineRead("building", line)
    beside = beside_in(line, _names(talk.problem))
    if beside is not None:
        return LineRead(*beside)
    if (supposed_so := opens(line)) is not None:
        return LineRead("suppose", supposed_so)
    if not talk.is_supposing and (supposed_so := supposes(line)) is not None:
        return LineRead("suppose", supposed_so) if _can_be_supposed(talk, supposed_so) else (
            LineRead("question", line)
        )
    if talk.is_supposing and (supposition.is_left(line) or LEAVES.search(line)):
        return LineRead("undo", line)
    if talk.thought and (held := _stands_by(talk, line)) is not None:
        return LineRead("answer", held)
    if story is not None and isinstance(talk.problem, Walk) and not is_question(line) and (
        exchange_in(line, talk.subject.network)
    ):
        return LineRead("exchange", line)
    request = request_in(line) or _wished_politely(line)
    if request is None:
        return _act_in(talk, line)
    return LineRead("answer" if _answers_what_was_asked_back(talk, line) else request, line)


_LEAST_QUOTED = 5  # words of the question said once more before the answer


def _wished_politely(line: str) -> Request | Literal["unsure"] | None:
    if not re.search(r"[^\W\d_]{3}", line):  # a value has no such word
        return None
    from tutor.teaching.polite_requests import polite_request

    return polite_request(line)


def _without_the_question(talk: Conversation, line: str) -> str:
    """A line without the question in hand, said once more before its answer."""
    said, mark, rest = line.partition("?")
    words = re.findall(r"\w+", said.lower())
    if not mark or not re.search(r"\w", rest) or len(words) < _LEAST_QUOTED:
        return line
    return rest if {*words} <= {*re.findall(r"\w+", _question_text(talk).lower())} else line


def _question_text(talk: Conversation) -> str:
    task = talk.in_hand
    if isinstance(task, Telling):
        return "" if task.ask is None else f"{task.asked_back} {task.ask.text}"
    question = next_question(task) if isinstance(task, Walk) else None
    return ask(task, question).text if question is not None and isinstance(task, Walk) else ""


def _answers_what_was_asked_back(talk: Conversation, line: str) -> bool:
    """Whether words that would be a request answer what the tutor has just asked: more or less?"""
    task = talk.in_hand
    if isinstance(task, Telling):
        return telling.to_follow_up(task, line) is not None
    question = next_question(task) if isinstance(task, Walk) and task.aside is not None else None
    return question is not None and isinstance(task, Walk) and (
        dialogue.to_what_was_asked(task, question, task.aside, line) is not None
    )


def _can_be_supposed(talk: Conversation, change: str) -> bool:
    """Whether words say a change that this problem knows."""
    return not isinstance(suppose_now(talk, change), Message)


def _act_in(talk: Conversation, line: str) -> LineRead:
    """The kind of act of a line that asks for nothing."""
    from tutor.teaching.kinds_of_act import act_of, is_question, own_words, without_not_knowing

    line = each_by_its_name(own_words(line))
    if talk.over:
        return LineRead("question" if is_question(line) else "answer", line)
    act, text = act_of(line, offer(talk))
    if isinstance(talk.in_hand, Supposing | StagedSupposing):
        from tutor.teaching.whatif.predictions import guesses, predicts

        known = without_not_knowing(line)
        if act == "unsure" and not (known != line and predicts(known)):
            return LineRead(act, text)
        line = known if act == "unsure" else line
        # C up? is a guess like C up.
        marked = re.search(r"\?\s*$", line) is not None
        held = _CONDITION.sub("", line, count=1)  # when C2 grows, does C1 get more
        turned = re.match(r"(?i)\W*(?:is|are|does|do|can|will|would|should)\b", held)
        of_supply = re.search(r"(?i)\b(?:supply|battery|cell)\b", line) and not predicts(line)
        between = re.search(r"(?i)\bor\b(?!\s+(?:not|what|so|something)\b)", line)
        asks = is_question(line.rstrip(" ?!")) or is_question(held.rstrip(" ?!")) or (
            marked and (turned or of_supply or between or not guesses(line))
        )
        return LineRead("question" if asks else "answer", line)
    return LineRead(act, text)


_CONDITION = re.compile(
    r"(?i)^\W*(?:(?:so|and|but|ok(?:ay)?)\s+)?(?:if|when|once|with)\b"
    r"[^,;?]*?(?:,\s*(?:then\s+)?|\s(?=(?:does|do|will|would|can|should)\s))"
)


def offer(talk: Conversation) -> OnOffer:
    """What stands open to be answered."""
    from tutor.teaching.act_signs import SHARINGS
    from tutor.teaching.kinds_of_act import OnOffer

    task = talk.in_hand
    if isinstance(task, Telling):
        ask, network = task.ask, task.story.network
        options = ask.options if ask is not None and not is_lettered(ask) else ()
        words = tuple(option.words for option in options)
    else:
        words, network = (), task.network if isinstance(task, Walk) else None
    names = frozenset((*(c.name for c in network.capacitors), *network.points()) if network else ())
    question = next_question(task) if isinstance(task, Walk) else None
    if question is not None and question.about == "shares":
        words = SHARINGS
    asks_names = question is not None and question.about == "choice"
    return OnOffer(words, names, asks_names, _asks_value(task, question))


def _asks_value(task: OpenTask, question: Question | None) -> bool:
    """Whether a value is what stands open."""
    if isinstance(task, Telling):
        return task.ask is not None and task.ask.right is not None and not task.asked_back
    if question is None or not isinstance(task, Walk) or task.aside is not None:
        return False
    return question.about not in ("choice", "shares", "reason", "change")


def _stands_by(talk: Conversation, line: str) -> str | None:
    """The answer of who was asked back about a thought, and says yes or why."""
    from tutor.teaching.reading.because_words import BECAUSE

    if yes_or_no(line):
        return talk.thought
    if not BECAUSE.match(line.strip().lower()):
        return None
    return f"{talk.thought}, {line}" if isinstance(talk.in_hand, Walk) else talk.thought


def _names(problem: Walk | Telling) -> list[str]:
    return [c.name for c in problem.network.capacitors] if isinstance(problem, Walk) else []


def suppose_now(talk: Conversation, change: str) -> TurnOf[Any] | Message:
    """The task of a change that is supposed, or why there can be none."""
    problem = talk.problem
    if isinstance(problem, Telling):
        return supposed.begin(problem, change)
    walks = [frame.task for frame in talk.frames if isinstance(frame.task, Walk)]
    known = {q: value for walk in reversed(walks) for q, value in walk.known.items()}
    return supposition.begin(talk.own_walk, known, change)


AND_ASKS = re.compile(
    r"(?i)^\s*(?P<value>[^,;.…!?–—]*?\w)\s*(?:(?P<ends>[,;.?…!–—]+|-(?=\s))\s*(?:but|and|so|though)?|\b(?:but|and|though))\s+"
    r"(?P<asks>.+)$"
)
_ASKS = re.compile(r"(?i)\b(?:why|how|what['’]?s?|where)\b")


def value_before(talk: Conversation, line: str) -> str | None:
    """The value, or the names where these are asked for, that a line states before it goes on to
    ask something else; None for none.
    """
    from tutor.teaching.kinds_of_act import is_question

    found = AND_ASKS.match(line)
    task = talk.in_hand
    if found is None or not isinstance(task, Walk | Telling) or talk.over or not (
        _ASKS.search(asks := found["asks"]) or is_question(asks.rstrip(" ?!"))
        or ("?" in asks and "?" not in (found["ends"] or ""))  # 4? 36? leaves it open
    ):
        return None
    value = nought_in_figures(in_figures(found["value"]))
    tags = r"(?i)\W*(?:right|is\s*n[o'’]?t\s+it|is\s+it|or\s+(?:not|is)\b.*|correct|yes|no)\W*"
    if re.fullmatch(tags, found["asks"]) or re.search(r"(?i)\bor\b", found["asks"]):
        return None
    return found["value"] if is_plain_value(value) or _only_names(talk, value) else None


def _only_names(talk: Conversation, words: str) -> bool:
    """Whether words are the names of two capacitors or more, where names are asked for."""
    asked = offer(talk)
    said = [word for word in re.findall(r"\w+'*", words) if word.lower() not in ("and", "with")]
    return asked.asks_names and len(said) > 1 and {*said} <= asked.names
