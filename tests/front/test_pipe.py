"""The shell for plain lines: everything once, no box characters; and its copy for programs."""

from __future__ import annotations

import json
from io import StringIO
from pathlib import Path

import pytest

from grammar.reading import read_network
from tutor.front.chat.before_problem import open_text
from tutor.front.chat.home import open_home
from tutor.front.chat.stages import Answer, Chat
from tutor.front.keeping import Unkept
from tutor.front.pipe import STILL_HERE, Streams, talk, talk_json
from tutor.front.plain import BOX, Page
from tutor.front.saying import Voice
from tutor.teaching.settings import DEFAULTS

NETWORK = "6 uF -- (9 uF || 5 uF), across 15 V"
PAGE = Page(70, drawings=False)
VOICE = Voice(PAGE, PAGE)


def told(*lines: str, width: int = 70) -> str:
    out = StringIO()
    page = PAGE._replace(width=width)
    start = open_home(Chat(DEFAULTS))
    talk(start, Streams(StringIO("".join(f"{line}\n" for line in lines)), out), Voice(page, page))
    return out.getvalue()


@pytest.mark.parametrize("width", [40, 70, 200])
def test_no_line_is_wider_than_asked(width: int) -> None:
    mixed = "4 uF -- 3 uF || 2 uF, across 12 V"
    text = told(NETWORK, "help", "C2 C3", "drawing", mixed, width=width)
    assert max(map(len, text.split("\n"))) <= width


def test_there_are_no_box_characters_and_no_escape_codes() -> None:
    text = told(NETWORK, "drawing", "C2 C3", "p.d.", "drawing")
    assert not set(text) & set(BOX)
    assert "\x1b" not in text
    assert "\r" not in text


def test_a_drawing_comes_only_where_one_is_asked_for() -> None:
    assert "|C1|" not in told(NETWORK, "C2 C3")
    text = told(NETWORK, "drawing")
    assert "+-|C1 6 uF|-+-|C2 9 uF|-+" in text
    assert "C2, 9 µF, from P to B." in text[: text.index("Drawn:")].split("What is left:")[1]


def test_a_network_without_a_drawing_says_so() -> None:
    many = " || ".join(["2 uF"] * 61)
    assert "There is no drawing" in told(many, "drawing")


def test_a_bridge_and_a_dead_end_are_drawn() -> None:
    bridge = (
        "C1 = 1 uF from A to P; C2 = 2 uF from A to R; C3 = 2 uF from P to B; "
        "C4 = 1 uF from R to B; C5 = 1 uF from P to R; ends A and B"
    )
    assert "|C5 1 uF|" in told(bridge, "drawing")
    assert "|C4 5 uF|" in told("3", "drawing")


def test_the_end_of_the_input_says_where_it_stopped() -> None:
    assert told(NETWORK, "C2 C3").endswith("Stopped after no steps, with three capacitors left.\n")
    assert told().endswith("Good-bye.\n")


def test_a_list_is_read_at_the_end_of_the_input() -> None:
    text = told("C1 = 4 uF from A to P", "C2 = 2 uF from P to B", "ends A and B")
    assert "C2, 2 µF, from P to B" in text


def test_stop_ends_before_the_input_does() -> None:
    assert "Here is the network" not in told("stop", NETWORK)


def test_a_caret_points_at_the_same_character_in_a_narrow_window() -> None:
    network = "C1 = 4 uF -- C2 = 3 uF -- C3 = 12 uF -- C4 = 5 uF || C5 = 2 uX, across 12 V"
    lines = told(network, width=40).split("\n")
    caret = next(place for place, line in enumerate(lines) if line.strip() == "^")
    column = lines[caret].index("^")
    assert lines[caret - 1][column : column + 2] == "||"
    assert len(lines[caret - 1]) <= 40


class Interrupted(StringIO):
    """A keyboard on which Ctrl-C is pressed once, then a line is typed."""

    def __init__(self) -> None:
        super().__init__("2\n")
        self.pressed = False

    def readline(self, size: int | None = -1, /) -> str:
        if not self.pressed:
            self.pressed = True
            raise KeyboardInterrupt
        return super().readline(size)


def test_ctrl_c_at_a_prompt_keeps_the_chat() -> None:
    out = StringIO()
    talk(open_home(Chat(DEFAULTS)), Streams(Interrupted(), out, prompt="> "), VOICE)
    assert STILL_HERE in out.getvalue()
    assert "Here is the network" in out.getvalue()


def test_ctrl_c_in_a_pipe_goes_on_to_the_program() -> None:
    with pytest.raises(KeyboardInterrupt):
        talk(open_home(Chat(DEFAULTS)), Streams(Interrupted(), StringIO()), VOICE)


def test_a_fair_copy_is_saved_where_it_was_asked_for(tmp_path: Path) -> None:
    copy = tmp_path / "copy.txt"
    text = told(NETWORK, "C2 C3", f"save as {copy}")
    assert "Given: C1 = 6 µF" in copy.read_text("utf-8")
    assert "Saved in" in text


def test_settings_are_kept(tmp_path: Path) -> None:
    file = tmp_path / "settings.toml"
    out = StringIO()
    streams = Streams(StringIO(f"set figures 3\n{NETWORK}\nset decimal comma\n"), out, "", file)
    talk(open_home(Chat(DEFAULTS)), streams, VOICE)
    assert "figures = 3" in file.read_text("utf-8")
    assert 'decimal_sign = "comma"' in file.read_text("utf-8")


# --- For programs

KINDS = {"ask", "verdict", "reveal", "hint", "say", "close"}
VERDICTS = {"right", "wrong", "incomplete", "unread"}
A_WALK = (
    "C2 C3", "p.d.", "b", "15", "14 uF", "C1 C23", "charge P", "c", "4.2 uF", "63 uC", "charge",
    "10.5 V", "4.5 V", "what?", "I don't know", "hint", "40.5 uC", "22.5 uC", "15 V", "stop",
)  # fmt: skip


def objects(*lines: str) -> list[dict[str, object]]:
    out = StringIO()
    start = open_text(read_network(NETWORK), Chat(DEFAULTS))
    talk_json(start, Streams(StringIO("".join(f"{line}\n" for line in lines)), out))
    return [json.loads(line) for line in out.getvalue().splitlines()]


def test_every_message_of_a_walk_is_one_object_as_described() -> None:
    found = objects(*A_WALK)
    assert {each["kind"] for each in found} >= {"ask", "verdict", "reveal", "say", "close"}
    for each in found:
        expected = {"kind", "text", "step", "about"}
        if each["kind"] == "verdict":
            expected |= {"verdict", "malrules"}
            assert each["verdict"] in VERDICTS
            assert isinstance(each["malrules"], list)
        assert set(each) == expected
        assert each["kind"] in KINDS
        assert each["text"]
        assert each["step"] is None or isinstance(each["step"], int)


def test_the_first_verdict_comes_with_its_step_and_subject() -> None:
    verdict = next(each for each in objects("C2 C3") if each["kind"] == "verdict")
    assert (verdict["verdict"], verdict["step"], verdict["about"]) == ("right", 1, "choice")


def test_each_line_is_answered_before_the_next_is_read() -> None:
    """A program that waits for the answer to its line must not wait for ever."""
    out = StringIO()
    heard: list[int] = []

    class Watched(StringIO):
        def readline(self, size: int | None = -1, /) -> str:
            heard.append(out.getvalue().count("\n"))
            return super().readline(size)

    start = open_text(read_network(NETWORK), Chat(DEFAULTS))
    talk_json(start, Streams(Watched("C2 C3\np.d.\n"), out))
    assert heard[0] >= 2
    assert heard[1] >= heard[0] + 2
    assert heard[2] >= heard[1] + 2


def test_objects_in_ascii_where_nothing_else_can_be_printed() -> None:
    out = StringIO()
    begun = open_text(read_network(NETWORK), Chat(DEFAULTS))
    talk_json(begun, Streams(StringIO(), out), True)
    assert out.getvalue().isascii()
    assert "µF" in json.loads(out.getvalue().splitlines()[0])["text"]


class _Interrupted(Unkept):
    """Holds a chat in which Ctrl-C is pressed while a certain line is answered."""

    def hear(self, chat: Chat, line: str) -> Answer:
        if line == "long":
            raise KeyboardInterrupt
        return super().hear(chat, line)


def test_ctrl_c_in_a_long_answer_keeps_the_walk() -> None:
    out = StringIO()
    start = open_home(Chat(DEFAULTS))
    typed = StringIO(f"{NETWORK}\nlong\nC2 C3\nstop\n")
    talk(start, Streams(typed, out, "> ", host=_Interrupted()), VOICE)
    told = out.getvalue()
    assert STILL_HERE in told
    assert "those two can become one" in told[told.index(STILL_HERE) :]
    typed.seek(0)
    with pytest.raises(KeyboardInterrupt):  # where nobody types, it ends the program
        talk(start, Streams(typed, out, host=_Interrupted()), VOICE)
