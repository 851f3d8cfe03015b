"""Before a problem: a network, an example, a puzzle, a drawing in a book, or a wish in words."""

from __future__ import annotations

import re

from grammar.any_text import Readings, choice_among, in_two_ways, readings_of, said_back
from grammar.records import Description, Refusal
from grammar.refusals import show
from grammar.wishing import read_wish
from tutor.front import guided as drawing
from tutor.front.chat.courses import asked_for
from tutor.front.chat.going_through import puzzled, talked
from tutor.front.chat.home import ASKED
from tutor.front.chat.stages import Answer, Chat, Choosing, Deciding, Gathering, InPuzzle, Reading
from tutor.front.incoming import wants_more
from tutor.front.opening import KEPT, WHICH, chosen, offered, wish_in
from tutor.practice.item_begun import begin_description
from tutor.practice.questions.puzzle_wishes import make_wish
from tutor.teaching.hearing import plain, request_in, yes_or_no
from tutor.teaching.messages import Message
from tutor.teaching.puzzle import begin_puzzle, hear_puzzle
from tutor.teaching.settings import ASKED_WORDS, in_words, set_by_words

BOOK_WORDS = ("book", "a book", "the book", "from a book", "a drawing in a book")
NO_NETWORK = "I see no network in that line."
WHICH_READING = "Which do you mean? Type its letter."
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
'puzzle' sets one: arrange 5 uF from 2 uF, 3 uF, 6 uF asks you for the network.
'lessons' lists the lessons, 'lesson 10' begins one; 'practice' sets tasks, for one skill with \
'practise two in series'; 'review' looks again at what you know.
'paper units 3 and 4, 30 marks' sets a paper to be written without help, then marks it.
'where do I stand' says what is steady and what is not, and why."""


def choose(chat: Chat, line: str) -> Answer:
    """What is to be done."""
    line = "what should I do next" if _WHAT_NEXT.fullmatch(line) else line
    if (answer := _of_the_program(chat, line) or asked_for(chat, line)) is not None:
        return answer
    request = request_in(line)
    if plain(line) in BOOK_WORDS or request == "drawing":
        return _read(chat, drawing.begin_guided(chat.terms))
    if request is not None:
        lead = "No walk is on yet. Pick a network first:" if request != "unsure" else ""
        if request == "undo" and chat.paused:
            lead = f"'go on' takes up {chat.paused[-1].title} again. Or pick a network:"
        said = [Message("say", lead)] if lead else []
        return Answer(chat, (*said, Message("say", offered()), Message("ask", WHICH)))
    if (wish := wish_in(line)) is not None:
        return set_puzzle(chat, wish)
    if example := chosen(line):
        return start(chat, example.text)
    if chat.draft and (better := changed(chat.draft, line)):
        return start(chat, better)
    from tutor.front.chat.topics import told_at_rest  # late: its tables are many

    if (answer := told_at_rest(chat, line)) is not None:
        return answer
    if yes_or_no(line) is not None or _is_one_letter(line):
        return _no_network(chat)
    if wants_more(line):
        return gather(chat, Gathering((line,)))
    return start(chat, line)


_WHAT_NEXT = re.compile(r"(?i)\W*(?:(?:so|and|ok|okay)\W+)?what(?:['’]?s| is)? (?:next|now)\W*")
_WHAT_CAN_BE = re.compile(
    r"(?i)\W*what (?:can|could|may) (?:i|we|one|you|this) (?:do|have|ask|use)"
    r"(?: (?:here|with this|now))?\W*"
)


def _of_the_program(chat: Chat, line: str) -> Answer | None:
    """What can be typed, the settings, or what was asked once more for an empty line; None for any
    other line.
    """
    from tutor.teaching.kinds_of_act import beside_in  # late: its patterns are many

    if request_in(line) == "typed" or _WHAT_CAN_BE.fullmatch(line):
        return Answer(chat, (Message("say", HELP), Message("ask", WHICH)))
    if not line.strip() and (
        chat.person.standing.skills or chat.paused or chat.person.resume is not None
    ):
        return Answer(chat, (Message("ask", ASKED),))
    act, said = beside_in(line, ()) or ("", "")
    if act == "settings" or plain(line) == "set":
        return Answer(chat, (Message("say", in_words(chat.terms)), Message("ask", WHICH)))
    return set_to(chat, said) if act == "set" else None


def _is_one_letter(line: str) -> bool:
    """Whether a line is a letter that no one calls a capacitance: a slip, or a late answer."""
    return re.fullmatch(r"\s*[ABD-Zabd-z]\s*\.?\s*", line) is not None


def _no_network(chat: Chat) -> Answer:
    said = Message("verdict", NO_NETWORK, verdict="unread")
    return Answer(chat, (said, Message("ask", ANY_NETWORK)))


def _is_no_network(answer: Answer) -> bool:
    """Whether nothing at all was read in a line, so that what was asked before still stands."""
    return answer.messages[0].text == NO_NETWORK


def set_to(chat: Chat, wanted: str) -> Answer:
    """A setting put into force."""
    try:
        chat = chat._replace(terms=set_by_words(chat.terms, wanted))
    except Refusal as refusal:
        return Answer(chat, (Message("say", str(refusal)), Message("ask", WHICH)))
    said = Message("say", in_words(chat.terms), keep=chat.terms)
    return Answer(chat, (said, Message("ask", WHICH)))


def changed(draft: str, line: str) -> str | None:
    """The draft after 'change this to that', if it has this."""
    asked = re.fullmatch(r"(?i)\s*change\s+(.+?)\s+to\s+(.*?)\s*", line)
    if asked is None or asked[1] not in draft:
        return None
    return draft.replace(asked[1], asked[2], 1)


def start(chat: Chat, text: str) -> Answer:
    """Begin on a text, ask which reading of it is meant, or show where it cannot be read and keep
    it.
    """
    try:
        return opened(chat, text, readings_of(text))
    except Refusal as refusal:
        return _refused(chat, text, refusal)


def opened(chat: Chat, text: str, found: Readings) -> Answer:
    """The same for a text that has been read. Errors: ``Refusal`` for what cannot be walked."""
    return begun_on(chat, found) if found.is_strict else _asked_which(chat, Deciding(found, text))


def begun_on(chat: Chat, found: Readings, which: int = 0) -> Answer:
    """A walk on one reading of a text. Errors: ``Refusal`` for data that cannot be used."""
    return open_text(found.ways[which].description, chat)


LESS_THAN_USUAL = ("results", "the end")


def open_text(description: Description, chat: Chat) -> Answer:
    """A network to be walked, or a problem that goes in stages, from its start. A setting that was
    kept earlier and leaves out much is said where a sitting begins with it.

    Errors: ``Refusal`` for data that cannot be used.
    """
    person = chat.person
    begun = begin_description(description, chat.terms, person.seed, person.manner)
    if chat.problems == 0 and chat.terms.asked in LESS_THAN_USUAL:
        *said, asked = begun.messages
        told = f"{ASKED_WORDS[chat.terms.asked]} 'ask for everything' changes that."
        begun = begun._replace(messages=(*said, Message("say", told), asked))
    return talked(chat.on_a_new_problem()._replace(described=description), begun)


def _asked_which(chat: Chat, deciding: Deciding) -> Answer:
    found = deciding.found
    if not found.ways:
        raise Refusal(found.beyond, "")
    if found.beyond:
        said = Message("say", f"{found.beyond} Without it I read: {found.ways[0].text}")
        asked = "Shall we walk that: yes or no?" if len(found.ways) == 1 else WHICH_READING
    elif len(found.ways) == 1:
        said, asked = Message("say", said_back(found)), "Is that it, yes or no?"
    else:
        said = Message("say", in_two_ways(found).replace("; ", "\n").replace(": a)", ":\na)"))
        asked = WHICH_READING
    notes = tuple(Message("say", note) for note in found.notes)
    return Answer(chat._replace(stage=deciding), (said, *notes, Message("ask", asked)))


def settle_reading(chat: Chat, line: str) -> Answer:
    """Which of several readings is meant; any other line is taken as a new one."""
    stage = chat.stage
    assert isinstance(stage, Deciding), "the table of answers has it so"
    found = stage.found
    if not line.strip():
        return _asked_which(chat, stage)
    which = choice_among(line, len(found.ways))
    agrees = yes_or_no(line)
    if which is None and len(found.ways) == 1 and agrees:
        which = 0
    back = chat._replace(stage=Choosing(stage.text))
    if which is None and agrees is False:
        return Answer(back, (Message("ask", f"{KEPT}. {ANY_NETWORK}"),))
    if which is None and (agrees or plain(line) == "repeat"):
        return _asked_which(chat, stage)
    if which is None and (answer := _beside_the_reading(chat, stage, line)) is not None:
        return answer
    if which is None:
        other = choose(back, line)
        is_unread = any(m.verdict == "unread" for m in other.messages)
        objects = found.ways and is_unread and _OBJECTS.match(line)
        if not objects:
            return _asked_which(chat, stage) if _is_no_network(other) else other
        said = f"Then say the whole once more. So far I had: {found.ways[0].text}"
        return Answer(back, (Message("say", said), Message("ask", ANY_NETWORK)))
    try:
        return begun_on(back, found, which)
    except Refusal as refusal:
        return _refused(back, stage.text, refusal)


_OBJECTS = re.compile(
    r"(?i)\W*(?:no|nope|not\s+quite|nah|wrong|almost|nearly|close|except|but|yes\W+but)\b"
)
# Nearly, but 12 V: another supply, and nothing else.
_OTHER_SUPPLY = re.compile(
    r"(?i)\W*(?:(?:no|nope|nearly|almost|not|quite|close|yes|but|only|it|is|its|it's|was|should|be|with"
    r"|at|on|a|an|the|supply|battery|voltage|p\.d\.|of|across|take|make|change|to)\b\W*)*"
    r"(?P<volts>\d+(?:[.,]\d+)?\s*[mk]?(?:V|volts?))\W*(?:(?:battery|supply|instead|please|then)\W*)*"
)
_SIGNS = re.compile(r"\|\||--|∥")
SIGNS_TOLD = "-- stands between two that are in series, || between two that are in parallel."
YES_OR_ANEW = "Type yes if that is your network; if not, say the whole once more."


def _beside_the_reading(chat: Chat, deciding: Deciding, line: str) -> Answer | None:
    """What is said of a reading that is neither yes nor no nor another text: a question, doubt, or
    another supply. The reading still stands.
    """
    from tutor.front.chat.topics import told_at_rest  # late: its tables are many
    from tutor.teaching.kinds_of_act import is_question

    ways = deciding.found.ways
    other = _OTHER_SUPPLY.fullmatch(line)
    if other is not None and len(ways) == 1 and ways[0].text.count("across ") == 1:
        text = re.sub(r"(?<=across )[\d.,]+ ?\w+", other["volts"], ways[0].text)
        return start(chat._replace(stage=Choosing()), text)
    asked = _asked_which(chat, deciding)
    if request_in(line) == "unsure":
        told: tuple[Message, ...] = (Message("say", YES_OR_ANEW),)
    elif is_question(line) and _SIGNS.search(line) and not re.search(r"\d", line):
        told = (Message("say", SIGNS_TOLD),)
    elif is_question(line) and (answer := told_at_rest(chat, line)) is not None:
        told = answer.messages[:-1]
    else:
        return None
    return asked._replace(messages=(*told, *asked.messages))




def _refused(chat: Chat, text: str, refusal: Refusal) -> Answer:
    if not re.search(r"\d|--|\|\||[—–∥]", text):
        return _no_network(chat)
    kept = (
        f"{KEPT}. Put it right, or say what to change, like: change 5 uX to 5 uF. "
        "Or type 1, 2, 3, 'book', 'help' or 'stop'."
    )
    said = Message("verdict", show(refusal), verdict="unread")
    return Answer(chat._replace(stage=Choosing(text)), (said, Message("ask", kept)))


def gather(chat: Chat, gathering: Gathering) -> Answer:
    """Ask for the next of several lines."""
    text = "Go on with the next line; an empty line ends the text, 'back' takes a line away."
    if gathering.working:
        text = "Type your working, line by line; an empty line ends it."
    begun = len(gathering.lines) > (0 if gathering.working else 1)
    more = Message("ask", "Next line, or an empty one:" if begun else text)
    return Answer(chat._replace(stage=gathering), (more,))


# A drawing in a book


def read_off(chat: Chat, line: str) -> Answer:
    """An answer about a drawing."""
    stage = chat.stage
    assert isinstance(stage, Reading), "the table of answers has it so"
    if request_in(line) == "typed":
        said = (Message("say", drawing.HELP), drawing.ask(stage.guided))
        return Answer(chat, said)
    return _read(chat, drawing.respond(stage.guided, line))


def _read(chat: Chat, reply: drawing.Reply) -> Answer:
    if reply.text is None:
        return Answer(chat._replace(stage=Reading(reply.guided)), reply.messages)
    answer = start(chat, reply.text)
    # The opening has been read back already, before the learner said yes to it.
    return answer._replace(messages=answer.messages[1:])


# A puzzle


def set_puzzle(chat: Chat, wish: str) -> Answer:
    """A puzzle from its start; one of its own where nothing is wished for."""
    wish = wish or make_wish(chat.person.seed + chat.problems)
    try:
        return puzzled(chat.on_a_new_problem(), begin_puzzle(read_wish(wish), chat.terms))
    except Refusal as refusal:
        said = Message("verdict", show(refusal), verdict="unread")
        return Answer(chat, (said, Message("ask", ANY_NETWORK)))


def solve(chat: Chat, line: str) -> Answer:
    """An answer to a puzzle."""
    stage = chat.stage
    assert isinstance(stage, InPuzzle), "the table of answers has it so"
    if (wish := wish_in(line)) is not None:
        return set_puzzle(chat, wish)
    return puzzled(chat, hear_puzzle(stage.puzzle, line))
