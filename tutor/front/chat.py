"""The chat around the walks: which network, then the walk, then the next network.

A state machine without input or output: a line in, messages and the next state out. Each stage
is a record of chat_stages.py, and ``ANSWERS`` says who answers a line in which stage.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from types import MappingProxyType

from grammar.reading import read_network
from grammar.records import Description, Refusal
from grammar.refusals import show
from grammar.wishing import read_wish
from tutor.circuit.beginning import capacitors_of
from tutor.circuit.network import Problem, build
from tutor.front import guided as drawing
from tutor.front.chat_stages import (
    Answer,
    Chat,
    Choosing,
    Gathering,
    Left,
    Offered,
    Puzzling,
    Reading,
    Stage,
    Walking,
    is_done,
)
from tutor.front.incoming import has_supply, lists_joins, looks_like_network, values_in, wants_more
from tutor.front.opening import OPENING, WHICH, chosen, offered, wish_in
from tutor.front.stories import Staged, marked_here
from tutor.teaching.anytime import takes
from tutor.teaching.dialogue import begin, hear
from tutor.teaching.hearing import capacitors_in, plain, request_in
from tutor.teaching.marking.marker import mark_in_chat
from tutor.teaching.messages import Message
from tutor.teaching.puzzle import PuzzleTurn, begin_puzzle, hear_puzzle
from tutor.teaching.settings import in_words, set_by_words, setting_in
from tutor.teaching.speech import Terms, counted
from tutor.teaching.staged import telling as stories
from tutor.teaching.staged.makers import story_of
from tutor.teaching.turn import Turn
from tutor.teaching.walk import Walk

BOOK_WORDS = ("book", "a book", "the book", "from a book", "a drawing in a book")
YES_WORDS = ("yes", "y", "yes do", "sure")
NO_WORDS = ("no", "n", "no thanks", "stay")
WORKING_WORDS = ("working", "mark my working", "mark working", "mark this", "mark it")
NEXT = "What next? Type another network, an example's number, 'start again' or 'stop'."
ANY_NETWORK = "Type one, like 4 uF -- 3 uF, across 12 V; or 1, 2, 3, 'book', 'help' or 'stop'."
HELP = """\
A network is written with -- for in series, || for in parallel, and brackets:
4 uF -- (2 uF || 3 uF), across 12 V
Words do as well: 2 uF, 3 uF and 6 uF in parallel. Names are given like C1 = 4 uF.
Or as a list of joins, in one line or several; an empty line ends the list (in a terminal, \
Alt-Enter begins a new line):
C1 = 4 uF from A to P; C2 = 2 uF from P to B; wire from P to Q; ends A and B; across 12 V
A value that is missing is written ?, as in C1 = 3 uF -- C2 = ?; C = 2.1 uF
1, 2 or 3 picks an example; 'book' asks a drawing from you point by point; 'stop' leaves.
'puzzle' sets one: arrange 5 uF from 2 uF, 3 uF, 6 uF asks you for the network."""
AFTER_A_PUZZLE = "What next? Type a network, another puzzle, an example's number, or 'stop'."
PUZZLE_LATER = "A puzzle can begin when this walk is left: 'stop' leaves it."


def open_chat(terms: Terms) -> Answer:
    """The first screen."""
    said = (Message("say", OPENING), Message("say", offered()), Message("ask", WHICH))
    return Answer(Chat(terms), said)


def open_walk(problem: Problem, terms: Terms) -> Answer:
    """A chat that starts with a walk."""
    return _walked(begin(problem, terms))


def open_text(description: Description, terms: Terms) -> Answer:
    """A chat that starts with a network, or with a problem that goes in stages.

    Errors: ``Refusal`` for data that cannot be used.
    """
    story = story_of(description, terms)
    if story is not None:
        return _told(Chat(terms), stories.begin(story, terms), description)
    return open_walk(build(description), terms)


def respond(chat: Chat, line: str) -> Answer:
    """Answer one line, or several lines at once. The chat handed in is unchanged."""
    if plain(line) != "" and request_in(line) == "stop" and not isinstance(chat.stage, Walking):
        return leave(chat)
    return ANSWERS[type(chat.stage)](chat, line)


def leave(chat: Chat) -> Answer:
    """The end at any moment, with where it stopped."""
    home, gone = _home(chat.stage), chat._replace(stage=Left())
    if isinstance(home, Walking) and not is_done(home):
        return Answer(gone, hear(home.walk, "stop").messages)
    if isinstance(home, Staged) and not is_done(home):
        return Answer(gone, stories.hear(home.telling, "stop").messages)
    text = _unfinished(chat.stage)
    kept = f" What you had typed so far:\n{text}" if text else ""
    return Answer(gone, (Message("close", f"Good-bye.{kept}"),))


def safely(chat: Chat, line: str) -> Answer:
    """The same as ``respond`` for shells: a fault of the program's own never ends a walk."""
    try:
        return respond(chat, line)
    except Exception as fault:
        text = (
            "Something went wrong in Platewalk itself with that line "
            f"({type(fault).__name__}); please report it. All is kept as it was."
        )
        return Answer(chat, (Message("say", text),))


def _unfinished(stage: Stage) -> str:
    """What has been typed towards a network that is not there yet."""
    if isinstance(stage, Gathering):
        return "\n".join(stage.lines)
    if isinstance(stage, Reading) and stage.guided.pieces:
        return stage.guided.text
    return stage.draft if isinstance(stage, Choosing) else ""


def _home(stage: Stage) -> Walking | Staged | None:
    """The problem that is going on, or is interrupted, or is the last one done."""
    if isinstance(stage, Walking | Staged):
        return stage
    if isinstance(stage, Gathering):
        return Walking(stage.walk) if stage.walk else stage.staged
    return stage.home if isinstance(stage, Offered) else None


# Before a walk


def _choose(chat: Chat, line: str) -> Answer:
    request = request_in(line)
    if request == "typed":
        return Answer(chat, (Message("say", HELP), Message("ask", WHICH)))
    if (wanted := setting_in(line, ())) is not None:
        return _set(chat, wanted)
    if plain(line) in BOOK_WORDS or request == "drawing":
        return _read(chat, drawing.begin_guided(chat.terms))
    if request is not None:
        lead = "No walk is on yet. Pick a network first:" if request != "unsure" else ""
        said = [Message("say", lead)] if lead else []
        return Answer(chat, (*said, Message("say", offered()), Message("ask", WHICH)))
    if (wish := wish_in(line)) is not None:
        return _set_puzzle(chat, wish)
    if example := chosen(line):
        return _start(chat, example.text)
    if chat.draft and (better := _changed(chat.draft, line)):
        return _start(chat, better)
    if wants_more(line):
        return _gather(chat, Gathering((line,)))
    return _start(chat, line)


def _set(chat: Chat, wanted: str) -> Answer:
    try:
        chat = chat._replace(terms=set_by_words(chat.terms, wanted))
    except Refusal as refusal:
        return Answer(chat, (Message("say", str(refusal)), Message("ask", WHICH)))
    said = Message("say", in_words(chat.terms), keep=chat.terms)
    return Answer(chat, (said, Message("ask", WHICH)))


def _changed(draft: str, line: str) -> str | None:
    """The draft after 'change this to that', if it has this."""
    asked = re.fullmatch(r"(?i)\s*change\s+(.+?)\s+to\s+(.*?)\s*", line)
    if asked is None or asked[1] not in draft:
        return None
    return draft.replace(asked[1], asked[2], 1)


def _start(chat: Chat, text: str) -> Answer:
    """Begin on a text, or show where it cannot be read and keep it."""
    try:
        return open_text(read_network(text), chat.terms)
    except Refusal as refusal:
        return _refused(chat, text, refusal)


def _refused(chat: Chat, text: str, refusal: Refusal) -> Answer:
    if not re.search(r"\d|--|\|\||[—–∥]", text):
        said = Message("verdict", "I see no network in that line.", verdict="unread")
        return Answer(chat, (said, Message("ask", ANY_NETWORK)))
    kept = (
        "Your text is kept. Put it right, or say what to change, like: change 5 uX to 5 uF. "
        "Or type 1, 2, 3, 'book', 'help' or 'stop'."
    )
    said = Message("verdict", show(refusal), verdict="unread")
    return Answer(chat._replace(stage=Choosing(text)), (said, Message("ask", kept)))


def _walked(turn: Turn) -> Answer:
    """The chat after a turn of its walk; a walk that is over leads on to the choice."""
    messages = turn.messages
    if turn.walk.over and (not messages or not _leads_on(messages[-1])):
        messages = (*messages, Message("ask", NEXT))
    return Answer(Chat(turn.walk.terms, Walking(turn.walk)), messages)


def _leads_on(message: Message) -> bool:
    """Whether a message says itself what may come next."""
    return message.kind == "ask" or "another network" in message.text


# Several lines


def _gather(chat: Chat, gathering: Gathering) -> Answer:
    text = "Go on with the next line; an empty line ends the text, 'back' takes a line away."
    if gathering.working:
        text = "Type your working, line by line; an empty line ends it."
    begun = len(gathering.lines) > (0 if gathering.working else 1)
    more = Message("ask", "Next line, or an empty one:" if begun else text)
    return Answer(chat._replace(stage=gathering), (more,))


def _gathered(chat: Chat, line: str) -> Answer:
    stage = chat.stage
    assert isinstance(stage, Gathering), "the table of answers has it so"
    if request_in(line) == "typed":
        answer = _gather(chat, stage)
        return answer._replace(messages=(Message("say", HELP), *answer.messages))
    if line.strip() and request_in(line) != "undo":
        return _gather(chat, stage._replace(lines=(*stage.lines, line)))
    if line.strip() and len(stage.lines) > 1:
        return _gather(chat, stage._replace(lines=stage.lines[:-1]))
    back = chat._replace(stage=_home(stage) or Choosing())
    if line.strip():
        return respond(back, "repeat")
    if stage.working and (home := _home(stage)) is not None:
        return _marked(chat, home, "\n".join(stage.lines))
    return _new_network(back, "\n".join(stage.lines))


def _marked(chat: Chat, home: Walking | Staged, text: str) -> Answer:
    """Working of several lines, marked; then the problem goes on where it was."""
    going_on = _resumed(chat, home)
    said = mark_in_chat(home.walk, text) if isinstance(home, Walking) else marked_here(home, text)
    return going_on._replace(messages=(*said, *going_on.messages))


# In a walk


def _walk(chat: Chat, line: str) -> Answer:
    stage = chat.stage
    assert isinstance(stage, Walking), "the table of answers has it so"
    walk = stage.walk
    if request_in(line) == "stop":
        return leave(chat)
    if stage.draft and (better := _changed(stage.draft, line)):
        return _new_network(chat, better)
    if plain(line) in WORKING_WORDS:
        return _gather(chat, Gathering((), walk, working=True))
    if "\n" in line.strip() and not _is_new_network(walk, line):
        return _marked(chat, Walking(walk), line)
    if takes(walk, line):
        return _walked(hear(walk, line))
    if walk.over:
        return _after_walk(chat, walk, line)
    if wish_in(line) is not None:
        later = _walked(hear(walk, "repeat"))
        return later._replace(messages=(Message("say", PUZZLE_LATER), *later.messages))
    if wants_more(line, walking=True):
        return _gather(chat, Gathering((line,), walk))
    if _is_new_network(walk, line):
        return _new_network(chat, line)
    return _walked(hear(walk, line))


def _after(chat: Chat, home: Walking | Staged, line: str) -> Answer | None:
    """What comes after a problem that is done; None for a request about it."""
    request = request_in(line)
    if request is not None and request != "typed" and plain(line) not in BOOK_WORDS:
        return None
    answer = _choose(chat._replace(stage=Choosing()), line)
    if not isinstance(answer.chat.stage, Choosing):
        return answer
    stayed = home._replace(draft=answer.chat.draft)  # so that it can still start again
    return answer._replace(chat=answer.chat._replace(stage=stayed))


def _after_walk(chat: Chat, walk: Walk, line: str) -> Answer:
    request = request_in(line)
    if (answer := _after(chat, Walking(walk), line)) is not None:
        return answer
    if request in ("unsure", "repeat"):
        return Answer(chat, (Message("ask", NEXT),))
    if request == "drawing":
        said = Message("say", "The whole network:", network=walk.problem.network)
        return Answer(chat, (said, Message("ask", NEXT)))
    return _walked(hear(walk, line))


def _is_new_network(walk: Walk, line: str) -> bool:
    """Whether a line is a network of its own: capacitors of this walk told by their values are
    an answer.
    """
    if lists_joins(line):
        return True
    if not looks_like_network(line) or request_in(line) is not None:
        return False
    found = capacitors_in(line, walk.network, walk.problem.powers["capacitance"])
    if found and not found.unknown and not has_supply(line):
        return False
    try:
        read_network(line)
    except Refusal:
        return has_supply(line) and len(values_in(line)) > 1
    return True


def _new_network(chat: Chat, text: str) -> Answer:
    """Start on a network; in the middle of a walk, ask first."""
    home = _home(chat.stage)
    if home is None or is_done(home):
        return _start(chat, text)
    try:
        begun = open_text(description := read_network(text), chat.terms)
    except Refusal as refusal:
        kept = chat._replace(stage=home._replace(draft=text))
        lead = "If that is a new network, it cannot be read yet."
        said = (Message("say", lead), Message("verdict", show(refusal), verdict="unread"))
        change = "Your text is kept: say what to change, like: change 5 uX to 5 uF."
        return Answer(kept, (*said, Message("say", change), *_resumed(chat, home).messages))
    size = counted(len(capacitors_of(description)), "capacitor")
    what = "ladder without end" if description.ladder else f"network of {size}"
    text = f"That reads as a new {what}. Leave this one and start on it: yes or no?"
    return Answer(chat._replace(stage=Offered(home, begun)), (Message("ask", text),))


def _resumed(chat: Chat, home: Walking | Staged) -> Answer:
    """On with what was interrupted: its question once more."""
    if isinstance(home, Walking):
        return _walked(hear(home.walk, "repeat"))
    return Answer(chat._replace(stage=home), stories.hear(home.telling, "repeat").messages)


def _decide(chat: Chat, line: str) -> Answer:
    stage = chat.stage
    assert isinstance(stage, Offered), "the table of answers has it so"
    if plain(line) in YES_WORDS:
        return stage.begun
    if plain(line) in NO_WORDS:
        going_on = Message("say", "Then on with this one.")
        answer = _resumed(chat, stage.home)
        return answer._replace(messages=(going_on, *answer.messages))
    return Answer(chat, (Message("ask", "Yes for the new network, or no for this one?"),))


# In a problem that goes in stages


def _tell(chat: Chat, line: str) -> Answer:
    stage = chat.stage
    assert isinstance(stage, Staged), "the table of answers has it so"
    if stage.draft and (better := _changed(stage.draft, line)):
        return _new_network(chat, better)
    if plain(line) in WORKING_WORDS:
        return _gather(chat, Gathering((), working=True, staged=stage))
    if "\n" in line.strip() and not _reads_as_network(line):
        return _marked(chat, stage, line)
    if is_done(stage) and (answer := _after(chat, stage, line)) is not None:
        return answer
    if (wanted := setting_in(line, ())) is not None:
        answer = _set(chat, wanted)
        stage = stage.retold(answer.chat.terms)
        again = _resumed(answer.chat, stage)
        return again._replace(messages=(answer.messages[0], *again.messages))
    if wants_more(line, walking=True):
        return _gather(chat, Gathering((line,), staged=stage))
    if _reads_as_network(line):
        return _new_network(chat, line)
    return _told(chat, stories.hear(stage.telling, line), stage.description)


def _told(chat: Chat, told: stories.Told, description: Description) -> Answer:
    return Answer(chat._replace(stage=Staged(told.telling, description)), told.messages)


def _reads_as_network(line: str) -> bool:
    """Whether a line among answers is a text of its own: it looks like one and can be read."""
    if not looks_like_network(line) or request_in(line) is not None:
        return False
    try:
        read_network(line)
    except Refusal:
        return lists_joins(line)
    return True


# A drawing in a book


def _read_off(chat: Chat, line: str) -> Answer:
    stage = chat.stage
    assert isinstance(stage, Reading), "the table of answers has it so"
    if request_in(line) == "typed":
        said = (Message("say", drawing.HELP), drawing.ask(stage.guided))
        return Answer(chat, said)
    return _read(chat, drawing.respond(stage.guided, line))


def _read(chat: Chat, reply: drawing.Reply) -> Answer:
    if reply.text is None:
        return Answer(chat._replace(stage=Reading(reply.guided)), reply.messages)
    answer = _start(chat, reply.text)
    # The opening has been read back already, before the learner said yes to it.
    return answer._replace(messages=answer.messages[1:])


# A puzzle


def _set_puzzle(chat: Chat, wish: str) -> Answer:
    try:
        return _puzzled(chat, begin_puzzle(read_wish(wish), chat.terms))
    except Refusal as refusal:
        said = Message("verdict", show(refusal), verdict="unread")
        return Answer(chat, (said, Message("ask", ANY_NETWORK)))


def _solve(chat: Chat, line: str) -> Answer:
    stage = chat.stage
    assert isinstance(stage, Puzzling), "the table of answers has it so"
    if (wish := wish_in(line)) is not None:
        return _set_puzzle(chat, wish)
    return _puzzled(chat, hear_puzzle(stage.puzzle, line))


def _puzzled(chat: Chat, turn: PuzzleTurn) -> Answer:
    if not turn.puzzle.over:
        return Answer(chat._replace(stage=Puzzling(turn.puzzle)), turn.messages)
    last = Message("ask", AFTER_A_PUZZLE)
    return Answer(chat._replace(stage=Choosing()), (*turn.messages, last))


ANSWERS: Mapping[type, Callable[[Chat, str], Answer]] = MappingProxyType({
    Choosing: _choose,
    Gathering: _gathered,
    Walking: _walk,
    Staged: _tell,
    Offered: _decide,
    Reading: _read_off,
    Puzzling: _solve,
})
