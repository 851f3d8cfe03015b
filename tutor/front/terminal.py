
"""The chat in a terminal: history, completion, a bottom line, drawings, lines kept on Ctrl-C.

The modules that read and judge are imported by a thread of their own once the first prompt
stands on the screen; whoever needs one earlier waits for just that one.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from threading import Event, Thread
from typing import TYPE_CHECKING, NamedTuple

from prompt_toolkit import PromptSession, print_formatted_text
from prompt_toolkit.formatted_text import FormattedText
from prompt_toolkit.history import InMemoryHistory
from prompt_toolkit.input import Input
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.output import ColorDepth, Output
from prompt_toolkit.styles import Style

from tutor.front.first_words import ASKED, KEPT_SO, OFFERED, WANTED
from tutor.front.incoming import wants_more
from tutor.front.opening import KEPT, OPENING, STANDING, TO_BEGIN, WHICH, offered
from tutor.front.plain import Page
from tutor.front.terminal_notation import STYLES, NotationLexer, WordCompleter

if TYPE_CHECKING:
    from tutor.front.chat.stages import Answer, Chat
    from tutor.front.record_place import Host
    from tutor.front.saying import PrintedLine
    from tutor.teaching.depicted import Depicted
    from tutor.teaching.messages import Message
    from tutor.teaching.settings import Settings

STILL_HERE = "Still here; type stop or press Ctrl-D to leave."
READABLE = 76
ENTER_GOES_ON = "Enter goes on"
ENDLESS = 10**6  # lines of a screen whose height is not known
ROOMY = 30  # lines from which on a drawing stays in sight
MENU = 4  # lines kept free under the prompt for completions


class Screen(NamedTuple):
    """What the terminal can do: ``width`` gives its columns now, ``wide_text`` lets text use all.

    ``settings_file`` tells where settings are kept. ``input`` and ``output`` are the real ones
    unless a test brings its own. ``height`` gives its lines now.
    """

    width: Callable[[], int]
    ascii: bool = False
    colour: bool = True
    wide_text: bool = False
    settings_file: Callable[[], Path | None] = lambda: None
    input: Input | None = None
    output: Output | None = None
    height: Callable[[], int] = lambda: 0


class Shell:
    """One chat on one screen. ``terms`` and ``host``, who holds the chat, are made late, as they
    come from slow modules.
    """

    def __init__(
        self,
        screen: Screen,
        terms: Callable[[], Settings],
        host: Callable[[], Host] | None = None,
    ) -> None:
        self.screen = screen
        self.terms = terms
        self.made_by = host
        self.host: Host | None = None
        self.chat: Chat | None = None
        self.sight: Depicted | None = None
        self.sketched: tuple[int, int, list[str]] | None = None  # for this width and height
        self.said_below: str | None = None
        self.draft = ""
        self.asks_words = False  # of someone new, once
        self.may_say_more_words = False  # who has said one of them, the next line
        self.leaving = Event()
        self.loader = Thread(target=_load, args=(self.leaving,), daemon=True)
        self.session = self._session()

    def run(self, start: Answer | None = None) -> None:
        """Talk until the learner leaves; a chat that has begun already comes as ``start``."""
        if start is None:
            file = self.screen.settings_file()
            self.asks_words = file is not None and not file.exists()
            self._print_opening()
        else:
            self._take(start)
        try:
            while self.chat is None or not self.chat.is_over:
                self._one_line()
        finally:
            self.leaving.set()

    def _one_line(self) -> None:
        draft, self.draft = self.draft, ""
        try:
            line = self.session.prompt("> ", default=draft)
        except KeyboardInterrupt:
            self.draft = self.session.default_buffer.text
            self._print(STILL_HERE)
            return
        except EOFError:
            self._leave()
            return
        try:
            if not self._took_words(line):
                self._answer(line)
        except KeyboardInterrupt:
            self.draft = line
            self._print(STILL_HERE)

    def _took_words(self, line: str) -> bool:
        """Whether a line says the words of the learner's book, which are kept; any other line is
        answered as ever.
        """
        if not (self.asks_words or (self.may_say_more_words and line.strip())):
            return False
        self.asks_words = self.may_say_more_words = False
        from tutor.front.first_words import with_words
        from tutor.front.saving import carry_out
        from tutor.teaching.messages import Message

        settings = with_words(self.terms(), line)
        if settings is None:
            return False
        self.terms = lambda: settings
        self.may_say_more_words = bool(line.strip())
        file = self.screen.settings_file()
        told = carry_out(Message("say", "", keep=settings), file)
        if file is None or not file.exists():
            self._print_lines(told or "")
        elif line.strip():
            self._print_lines(KEPT_SO)
        self._print_lines(WHICH, "class:ask")
        return True

    def _answer(self, line: str) -> None:
        host, chat = self._held()
        answer = host.hear(chat, line)
        # A text that could not be read is not put into the next prompt, where whatever is typed
        # would be written behind it; it is the last line of the history.
        self._take(answer._replace(messages=tuple(map(_in_reach, answer.messages))), line)
        if answer.chat.draft and answer.chat.draft not in self.session.history.get_strings()[-1:]:
            self.session.history.append_string(answer.chat.draft)  # gathered from several lines

    def _leave(self) -> None:
        host, chat = self._held()
        self._take(host.leave(chat))

    def _held(self) -> tuple[Host, Chat]:
        """Who holds the chat, and the chat, which may not have begun yet."""
        from tutor.front.keeping import Opening, Unkept

        if self.host is None:

            self.host = self.made_by() if self.made_by is not None else Unkept()
        return self.host, self.chat or self.host.open(Opening(self.terms())).chat

    def _take(self, answer: Answer, line: str = "") -> None:
        from tutor.front.in_view import in_view, without_what_is

        self.chat, self.sight, self.sketched = answer.chat, in_view(answer.chat), None
        self.said_below = None
        messages = answer.messages
        if self._sketch():
            messages = without_what_is(self.sight, messages, line)
        self._say(messages)

    def _sketch(self) -> list[str]:
        """The drawing that stays in sight; no lines where there is none or no room for it."""
        width, height = self.screen.width(), self.screen.height()
        if self.sight is None or height < ROOMY:
            return []
        if self.sketched is None or self.sketched[:2] != (width, height):
            from tutor.front.pictures import picture

            page = Page(width, self.screen.ascii)
            self.sketched = (width, height, picture(self.sight, page, most=height // 3 + 1))
        return self.sketched[2]

    def _say(self, messages: Sequence[Message]) -> None:
        from tutor.front.lesson_pages import pages
        from tutor.front.saving import carried_out
        from tutor.front.saying import Voice

        file = self.screen.settings_file() if any(each.keep for each in messages) else None
        page = Page(self.screen.width(), self.screen.ascii)
        text = page if self.screen.wide_text else page._replace(width=min(page.width, READABLE))
        voice, height = Voice(page, text), self.screen.height() or ENDLESS
        typed = ""
        first, *others = pages(list(carried_out(messages, file)), voice, height)
        self._print_page(first)
        for number, following in enumerate(others, start=2):
            typed = typed or self._way_on(number, len(others) + 1)
            self._print_page(following)
        if typed:
            self._answer(typed)

    def _way_on(self, number: int, of: int) -> str:
        """Wait for Enter before a page; what is typed is heard once all pages have been shown."""
        session, screen = self.session, self.screen
        pause: PromptSession[str] = PromptSession(  # late: no first prompt waits for it
            input=screen.input, output=screen.output, color_depth=session.color_depth
        )
        try:
            return pause.prompt(f"{ENTER_GOES_ON} (page {number} of {of}) ")
        except KeyboardInterrupt:
            return ""
        except EOFError:
            return "stop"

    def _print_page(self, lines: Sequence[PrintedLine]) -> None:
        self._print_rows([(_style_of(line), line.text) for line in lines])

    def _print(self, text: str, style: str = "") -> None:
        self._print_rows([(style, text)])

    def _print_rows(self, rows: Sequence[tuple[str, str]]) -> None:
        """Rows, each with its style, at once: every printing works out all the styles anew."""
        if not rows:
            return
        print_formatted_text(
            FormattedText([part for row in rows for part in (("", "\n"), row)][1:]),
            style=self.session.style,
            output=self.session.output,
            color_depth=self.session.color_depth,
            include_default_pygments_style=False,
        )

    def _print_opening(self) -> None:
        self._print_lines(f"{OPENING}\n{offered()}")
        self._print_lines(ASKED if self.asks_words else WHICH, "class:ask")

    def _print_lines(self, text: str, style: str = "") -> None:
        page = Page(min(self.screen.width(), READABLE), self.screen.ascii)
        self._print_rows([(style, row) for line in text.split("\n") for row in page.wrapped(line)])

    def _session(self) -> PromptSession[str]:
        colour = self.screen.colour
        session: PromptSession[str] = PromptSession(
            multiline=True,
            prompt_continuation="  ",
            history=InMemoryHistory(),
            lexer=NotationLexer() if colour else None,
            completer=WordCompleter(self._words),
            complete_while_typing=False,
            bottom_toolbar=self._bottom,
            reserve_space_for_menu=MENU,
            key_bindings=self._keys(),
            style=Style.from_dict(dict(STYLES) if colour else {"bottom-toolbar": "noreverse"}),
            color_depth=None if colour else ColorDepth.DEPTH_1_BIT,
            enable_open_in_editor=False,
            enable_suspend=True,  # Ctrl-Z, where the system has it
            include_default_pygments_style=False,
            input=self.screen.input,
            output=self.screen.output,
        )
        session.app.after_render += self._loads_late
        return session

    def _loads_late(self, app: object) -> None:
        del app
        if self.loader.ident is None:
            self.loader.start()

    def _keys(self) -> KeyBindings:
        """Enter ends the line unless more must follow; Alt-Enter always begins a new one."""
        keys = KeyBindings()

        @keys.add("enter")
        def _(event: KeyPressEvent) -> None:
            buffer = event.current_buffer
            if wants_more(buffer.text, walking=bool(self.chat and not self.chat.wants_network)):
                buffer.cursor_position = len(buffer.text)
                buffer.newline(copy_margin=False)
            else:
                buffer.validate_and_handle()

        @keys.add("escape", "enter")
        def _(event: KeyPressEvent) -> None:
            event.current_buffer.newline(copy_margin=False)

        return keys

    def _words(self) -> tuple[str, ...]:
        if self.asks_words:
            return OFFERED
        if self.chat is None:
            return TO_BEGIN
        from tutor.front.progress import may_be_typed

        return may_be_typed(self.chat)

    def _bottom(self) -> FormattedText:
        """The drawing, if it stays in sight, and the bottom line under it."""
        rows = [("class:drawing", f"{row}\n") for row in self._sketch()]
        return FormattedText([*rows, ("", self._standing())])

    def _standing(self) -> str:
        if self.chat is None:
            return self._fitted(WANTED if self.asks_words else STANDING)
        if self.said_below is None and self.chat.is_at_rest:
            self.said_below = STANDING
        if self.said_below is None:  # it is drawn at every key, and worked out once an answer
            from tutor.front.progress import standing

            self.said_below = standing(self.chat)
        return self._fitted(self.said_below)

    def _fitted(self, text: str) -> str:
        """The sentence, or as much of it as fits."""
        page = Page(self.screen.width(), self.screen.ascii)
        if len(text) > page.columns:
            text = f"{text.partition(', ')[0].rstrip('.')}."
        return page.plain(text)[: page.columns]


def _style_of(line: PrintedLine) -> str:
    style = line.verdict if line.verdict in ("right", "wrong") else line.role
    return f"class:{style}" if style in STYLES and line.text else ""


def _in_reach(message: Message) -> Message:
    """A message that says a text is kept, with the key that brings it back."""
    return message._replace(text=message.text.replace(KEPT, f"{KEPT}: the Up key brings it back"))


def _load(leaving: Event) -> None:
    """Import what the first answers need, then what only some networks need."""
    with suppress(Exception):  # whoever needs what is missing will say so
        from grammar.quantity import units
        from grammar.reading import read_network
        from tutor.front import pipe, progress  # noqa: F401 - loaded, not used here
        from tutor.front.chat import talk  # noqa: F401 - as above

        read_network("1 uF")
        if not leaving.is_set():
            units()
        if not leaving.is_set():
            import sympy  # noqa: F401 - as above
