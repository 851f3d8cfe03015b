"""The chat in a terminal, typed into with no terminal there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from io import StringIO
from pathlib import Path

import pytest
from prompt_toolkit.application import create_app_session
from prompt_toolkit.completion import CompleteEvent
from prompt_toolkit.data_structures import Size
from prompt_toolkit.document import Document
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import ColorDepth
from prompt_toolkit.output.vt100 import Vt100_Output

from tutor.front.first_words import ASKED
from tutor.front.plain import Page
from tutor.front.settings_place import read_settings
from tutor.front.terminal import STILL_HERE, Screen, Shell
from tutor.front.terminal_notation import STYLES, WordCompleter, coloured
from tutor.teaching.settings import DEFAULTS, Settings

NETWORK = "6 uF -- (9 uF || 5 uF), across 15 V"
CTRL_C, CTRL_D, ENTER, ALT_ENTER = "\x03", "\x04", "\r", "\x1b\r"
COLOUR = re.compile(r"\x1b\[[0-9;]*?(?:3[0-7]|9[0-7]|4[0-7]|10[0-7]|38|48)[0-9;]*m")
STEERING = re.compile(r"\x1b(?:\[[0-9;?]*[A-Za-z]|[=>78])|\r")


class Typed:
    """What a session of these keys puts on the screen."""

    def __init__(
        self, keys: str, width: int = 80, ascii: bool = False, colour: bool = True,
        *, height: int = 24, settings_file: Path | None = None,
    ) -> None:
        with _session(keys, width, colour) as (source, stdout, output):
            screen = Screen(
                lambda: width, ascii, colour, settings_file=lambda: settings_file, input=source,
                output=output, height=lambda: height,
            )
            self.shell = Shell(screen, lambda: DEFAULTS)
            self.shell.run()
            self.raw = stdout.getvalue()
        self.text = STEERING.sub("", self.raw)


@contextmanager
def _session(keys: str, width: int, colour: bool) -> Iterator[tuple[object, StringIO, object]]:
    stdout = StringIO()
    output = Vt100_Output(
        stdout,
        lambda: Size(rows=40, columns=width),
        term="xterm",
        enable_cpr=False,
        default_color_depth=ColorDepth.DEPTH_4_BIT if colour else None,
    )
    with create_pipe_input() as source, create_app_session(input=source, output=output):
        source.send_text(keys)
        yield source, stdout, output


def test_the_first_screen_has_the_examples_and_one_question() -> None:
    text = Typed(CTRL_D).text
    assert "1  The lamp at the door" in text
    assert "Which network?" in text
    assert "Good-bye." in text


FIRST_ASKED = "First, your book's words"


def test_someone_new_is_asked_once_for_the_words_of_the_book(tmp_path: Path) -> None:
    file = tmp_path / "settings.toml"
    keys = f"voltage, series group, in series{ENTER}3 uF -- 7 uF, across 20 V{ENTER}C1 C2{ENTER}"
    typed = Typed(f"{keys}stop{ENTER}", settings_file=file)
    assert typed.text.index(FIRST_ASKED) < typed.text.index("Which network?")
    assert "share, the voltage or the charge" in " ".join(typed.text.split())
    assert read_settings(file) == DEFAULTS._replace(
        difference="voltage", row="series group", beside="in series"
    )
    assert FIRST_ASKED not in Typed(f"stop{ENTER}", settings_file=file).text


def test_words_said_one_after_the_other_are_all_kept(tmp_path: Path) -> None:
    file = tmp_path / "settings.toml"
    Typed(f"voltage{ENTER}series group{ENTER}stop{ENTER}", settings_file=file)
    assert read_settings(file) == DEFAULTS._replace(difference="voltage", row="series group")


@pytest.mark.parametrize("line", ["", "no"])
def test_who_says_no_words_keeps_ours_and_is_not_asked_again(line: str, tmp_path: Path) -> None:
    file = tmp_path / "settings.toml"
    text = Typed(f"{line}{ENTER}stop{ENTER}", settings_file=file).text
    assert "Which network?" in text
    assert read_settings(file) == DEFAULTS
    assert FIRST_ASKED not in Typed(f"stop{ENTER}", settings_file=file).text


@pytest.mark.parametrize("line", ["2", "6 uF -- 3 uF, across 12 V"])
def test_who_types_a_network_at_once_gets_it(line: str, tmp_path: Path) -> None:
    text = Typed(f"{line}{ENTER}stop{ENTER}", settings_file=tmp_path / "settings.toml").text
    assert "Which capacitors can be combined" in text


def test_the_question_of_the_first_words_is_short_in_a_narrow_screen() -> None:
    assert len([*Page(40).wrapped(ASKED)]) <= 6


def test_a_walk_with_its_drawing() -> None:
    text = Typed(f"2{ENTER}C2 C3{ENTER}stop{ENTER}").text
    assert "├─╢C1 6 µF╟─┼─╢C2 9 µF╟─┤" in text
    assert "those two can become one" in text
    assert "Stopped after" in text


def test_ascii_has_nothing_else() -> None:
    text = Typed(f"2{ENTER}C2 C3{ENTER}stop{ENTER}", ascii=True).text
    assert text.isascii()
    assert "+-|C1 6 uF|-+-|C2 9 uF|-+" in text


RUNG = "├─╢C1 6 µF╟─┼─╢C2 9 µF╟─┤"
TO_BACK = ["C2 C3", "p.d., P and B", "14 uF", "C1 C23", "charge, P", "4.2 uF", "63 uC", "charge"]


def answered(*lines: str, height: int) -> tuple[Shell, str]:
    """A shell that has heard these lines, and what it has printed above its prompt."""
    with _session("", 80, True) as (source, stdout, output):
        screen = Screen(lambda: 80, input=source, output=output, height=lambda: height)
        shell = Shell(screen, lambda: DEFAULTS)
        for line in lines:
            shell._answer(line)
        return shell, STEERING.sub("", stdout.getvalue())


def test_with_room_the_drawing_stays_in_sight_and_fills() -> None:
    lines = ("2", *TO_BACK, "V1 = 10.5 V")
    shell, _ = answered(*lines, height=30)
    bottom = "".join(text for _, text in shell._bottom())
    assert "╢+ C1 6 µF −╟" in bottom
    assert "10.5 V, 63 µC" in bottom
    assert bottom.endswith(f"\n{shell._standing()}")
    assert len(bottom.split("\n")) <= 12, "two thirds of the lines are for what is said"
    shell, _ = answered(*lines, height=29)
    assert shell._sketch() == []


def test_what_is_in_sight_is_not_printed_as_well_unless_asked_for() -> None:
    assert RUNG in answered("2", height=24)[1]
    assert RUNG not in answered("2", height=40)[1]
    assert RUNG in answered("2", "drawing", height=40)[1]
    supposed = answered("2", "what if C2 is doubled", "C up", "show", height=40)[1]
    assert "╢C2 18 µF╟" in supposed, "what is not in sight any more is printed"


def test_on_the_way_back_what_comes_back_is_drawn_before_its_question() -> None:
    text = Typed(ENTER.join(["2", *TO_BACK, "stop", ""])).text
    back = text.index("Now back from C123")
    assert "├─╢C1 6 µF╟─┴─╢C23 14 µF╟─┤" in text[:back].split("Q = 63 µC: right.")[1]


def test_right_and_wrong_differ_by_a_word_and_a_colour() -> None:
    keys = f"2{ENTER}C1 C2{ENTER}C2 C3{ENTER}stop{ENTER}"
    typed = Typed(keys)
    assert "Not yet. Three plates meet at P" in typed.text
    assert "C2 and C3: yes" in typed.text
    right, wrong = (
        re.search(rf"(\x1b\[[\d;]*m){words}", typed.raw) for words in ("C2 and C3: y", "Not yet")
    )
    assert right is not None
    assert wrong is not None
    assert right[1] != wrong[1]
    assert "Not yet. Three plates meet at P" in Typed(keys, colour=False).text


def test_ctrl_c_keeps_the_walk_and_what_was_typed() -> None:
    text = Typed(f"2{ENTER}C2 C3{CTRL_C}{ENTER}stop{ENTER}").text
    assert STILL_HERE in text
    assert "those two can become one" in text


def test_ctrl_d_leaves_and_says_where_it_stopped() -> None:
    typed = Typed(f"2{ENTER}{CTRL_D}")
    assert typed.shell.chat is not None
    assert typed.shell.chat.is_over
    assert "with three capacitors left" in typed.text


def test_a_refused_text_is_what_the_up_key_brings_back() -> None:
    typed = Typed(f"4 uF -- 3 uX{ENTER}stop{ENTER}")
    assert "^" in typed.text
    assert "Your text is kept: the Up key brings it back." in typed.text
    assert typed.shell.session.history.get_strings() == ["4 uF -- 3 uX", "stop"]


def test_what_is_typed_after_a_refused_text_stands_alone() -> None:
    text = Typed(f"4 uF -- 3 uX{ENTER}5 uF -- 7 uF{ENTER}stop{ENTER}").text
    assert "C2, 7 µF, from P to B" in text


def test_a_refused_text_of_several_lines_comes_back_whole() -> None:
    keys = f"C1 = 4 uF from A to P{ENTER}C2 = 2 uF from P to B{ENTER}ends A and Q{ENTER}"
    typed = Typed(f"{keys}stop{ENTER}")
    assert "Your text is kept" in typed.text
    assert any(text.count("\n") == 2 for text in typed.shell.session.history.get_strings())


def test_a_refused_text_may_still_be_changed_in_words() -> None:
    text = Typed(f"4 uF -- 3 uX{ENTER}change uX to uF{ENTER}stop{ENTER}").text
    assert "C2, 3 µF, from P to B" in text


def test_a_list_goes_on_over_several_lines() -> None:
    keys = f"C1 = 4 uF from A to P{ENTER}C2 = 2 uF from P to B{ENTER}ends A and B{ENTER}stop{ENTER}"
    assert "C2, 2 µF, from P to B" in Typed(keys).text


def test_alt_enter_begins_a_new_line() -> None:
    keys = f"4 uF -- 2 uF{ALT_ENTER}across 12 V{ENTER}stop{ENTER}"
    assert "A supply holds 12 V" in Typed(keys).text


def test_what_was_typed_is_remembered_for_the_up_key() -> None:
    shell = Typed(f"2{ENTER}C2 C3{ENTER}stop{ENTER}").shell
    assert shell.session.history.get_strings() == ["2", "C2 C3", "stop"]


@pytest.mark.parametrize("width", [40, 80, 200])
def test_no_line_is_wider_than_the_window(width: int) -> None:
    text = Typed(f"2{ENTER}help{ENTER}C2 C3{ENTER}drawing{ENTER}stop{ENTER}", width).text
    assert all(len(line.rstrip()) <= width for line in text.split("\n"))


def test_colours_come_from_the_palette_and_never_set_red_against_green() -> None:
    assert not any("red" in style or "green" in style for style in STYLES.values())
    assert COLOUR.search(Typed(f"{NETWORK}{ENTER}stop{ENTER}").raw)


def test_without_colour_no_code_sets_one() -> None:
    assert not COLOUR.search(Typed(f"{NETWORK}{ENTER}C2 C3{ENTER}stop{ENTER}", colour=False).raw)


def test_settings_are_read_once_and_late() -> None:
    asked: list[str] = []

    def settings() -> Settings:
        asked.append("once")
        return DEFAULTS._replace(difference="voltage")

    with _session(f"2{ENTER}stop{ENTER}", 80, True) as (source, stdout, output):
        screen = Screen(lambda: 80, input=source, output=output)
        Shell(screen, settings).run()
        assert "the voltage and the charge" in stdout.getvalue()
    assert asked == ["once"]


def test_the_notation_is_cut_without_losing_a_character() -> None:
    for line in (NETWORK, "C1 = 4,7 µF from A to P; wire from P to Q", "  4u7 ?!", ""):
        assert "".join(fragment[1] for fragment in coloured(line)) == line
    assert ("class:amount", "6 uF") in coloured(NETWORK)
    assert ("class:sign", "--") in coloured(NETWORK)
    assert ("class:word", "across") in coloured(NETWORK)


def completions(line: str) -> list[str]:
    words = ("C1", "C2", "C23", "p.d.", "charge", "where are we", "hint")
    completer = WordCompleter(lambda: words)
    return [c.text for c in completer.get_completions(Document(line), CompleteEvent())]


def test_words_that_fit_are_offered() -> None:
    assert completions("c2") == ["C2", "C23"]
    assert completions("C1 C2") == ["C2", "C23"]
    assert completions("where a") == ["where are we"]
    assert completions("C1=p") == ["p.d."]
    assert completions("C1 zz") == []
