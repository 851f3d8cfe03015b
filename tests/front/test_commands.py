"""The program from outside: options, exit codes, encodings, pipes that close."""

from __future__ import annotations

import json
import os
import re
import shutil
import signal
import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest

from tests.front.pseudo import COMMAND, NOWHERE, ROOT, in_pseudo_terminal
from tutor.front.commands import main
from tutor.front.options import SHELLS, Options, read_options

NETWORK = "3 uF -- 7 uF, across 20 V"


@pytest.fixture(autouse=True)
def _nobodys_settings(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The learner's own settings are neither read nor written."""
    monkeypatch.setattr("tutor.front.settings_place.settings_path", lambda: tmp_path / "none.toml")


def run(*arguments: str, typed: str = "", **env: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*COMMAND, *arguments],
        input=typed, capture_output=True, text=True, cwd=ROOT, timeout=60, check=False,
        encoding="utf-8", env={**os.environ, "XDG_CONFIG_HOME": NOWHERE, **env},
    )  # fmt: skip


def test_words_after_the_command_are_one_text() -> None:
    options = read_options(["walk", "3", "uF", "--", "7", "uF,", "across", "20", "V", "--jsonl"])
    assert options == Options("walk", NETWORK, jsonl=True)


def test_options_may_stand_before_and_after_the_command() -> None:
    before = read_options(["--plain", "--width", "50", "walk", "4 uF"])
    assert before == read_options(["walk", "4 uF", "--width", "50", "--plain"])
    assert before == Options("walk", "4 uF", plain=True, width=50)


def test_nothing_at_all_is_a_chat() -> None:
    assert read_options([]) == Options()


@pytest.mark.parametrize(
    "arguments",
    [
        ["--width", "39"],
        ["--width", "201"],
        ["--width", "wide"],
        ["--pd-word", "tension"],
        ["explain"],
        ["explain", "4 uF", "--file", "f"],
        ["explain", "4 uF", "--lines"],
        ["sing"],
        ["walk", "4 uF", "--loud"],
        ["explain", "4 uF -- 3 uF || 2 uF"],
        ["walk", "hello", "--plain"],
        ["walk", "4 uF", "--set", "wallpaper blue"],
        ["explain", "--file", "/no/such/file"],
        ["mark", "4 uF, across 12 V"],
    ],
)
def test_what_cannot_be_used_gives_two(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err
    assert "Traceback" not in said.err


@pytest.mark.parametrize("arguments", [["--help"], ["walk", "--help"], ["explain", "--help"]])
def test_help_has_an_example(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(arguments) == 0
    assert "example: platewalk" in capsys.readouterr().out


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr().out.startswith("platewalk ")


@pytest.mark.parametrize("shell", SHELLS)
def test_a_shell_gets_a_script_that_knows_commands_and_options(
    shell: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["completion", shell]) == 0
    script = capsys.readouterr().out
    assert all(word in script for word in ("explain", "arrange", "unrecorded", "brief"))


@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash here")
def test_bash_completes_a_command_and_an_option(capsys: pytest.CaptureFixture[str]) -> None:
    main(["completion", "bash"])
    asked = "COMP_WORDS=(platewalk {}); COMP_CWORD={}; _shtab_platewalk; echo ${{COMPREPLY[@]}}\n"
    script = capsys.readouterr().out + asked.format("expl", 1) + asked.format("explain --br", 2)
    done = subprocess.run(["bash"], input=script, capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["explain", "--brief"]


def test_the_package_itself_is_the_program() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tutor", "explain", NETWORK, "--brief"],
        capture_output=True, text=True, cwd=ROOT, check=True, encoding="utf-8",
    )  # fmt: skip
    assert "2.1 µF" in done.stdout


def test_a_refused_text_is_shown_with_its_place(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "4 uF -- 3 uF || 2 uF"]) == 2
    found, line, caret, *cure = capsys.readouterr().err.strip().split("\n")[-4:]
    assert line == "4 uF -- 3 uF || 2 uF"
    assert caret.index("^") == line.index("||")
    assert "brackets" in " ".join(cure)
    assert found


def test_a_solution_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", NETWORK, "--pd-word", "voltage"]) == 0
    out = capsys.readouterr().out
    assert "2.1 µF" in out
    assert "voltage" in out
    assert "p.d." not in out


def test_a_solution_as_one_object(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", NETWORK, "--json"]) == 0
    entry = json.loads(capsys.readouterr().out)
    assert entry["capacitors"]["C1"]["voltage"] == {"si": "14", "text": "14 V"}


def test_a_file_with_a_refused_entry_gives_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "problems.txt"
    file.write_text("4 uF\n\n3 uF --\n\n2 uF || 1 uF\n", "utf-8")
    assert main(["explain", "--file", str(file)]) == 1
    on_paper = capsys.readouterr().out
    assert "C = 3 µF" in on_paper
    assert "Line 3: " in on_paper
    assert main(["explain", "--file", str(file), "--json"]) == 1
    entries = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert ["error" in entry for entry in entries] == [False, True, False]
    assert entries[1]["error"]["line"] == 3
    file.write_text("4 uF\n3 uF\n", "utf-8")
    assert main(["explain", "--file", str(file), "--lines"]) == 0


def test_a_file_that_is_no_text(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "noise"
    file.write_bytes(b"\xff\xfe\x00")
    assert main(["explain", "--file", str(file)]) == 2
    assert "UTF-8" in capsys.readouterr().err


def test_a_script_is_marked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    script = tmp_path / "script.txt"
    script.write_text("C12 = 2.1 uF\nQ = 42 uC\n", "utf-8")
    assert main(["mark", NETWORK, "--working", str(script), "--json"]) == 0
    *lines, total = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [line["verdict"] for line in lines] == ["right", "right"]
    assert set(total) == {"pupil", "total", "of"}


@pytest.mark.parametrize(
    ("word", "meant"), [("explian", "explain"), ("pratice", "practice"), ("lesons", "lessons")]
)
def test_a_command_nearly_named_is_asked_about(
    word: str, meant: str, capsys: pytest.CaptureFixture[str]
) -> None:
    try:
        code: object = main([word, "3 uF"])
    except SystemExit as left:
        code = left.code
    assert code == 2
    assert f"Did you mean {meant}?" in " ".join(capsys.readouterr().err.split())


def test_nobody_is_asked_whether_they_mean_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "3 uF", "--rehearse"]) == 2
    assert "Did you mean" not in capsys.readouterr().err


def test_a_fault_of_the_program_is_one_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("on\npurpose")

    monkeypatch.setattr("grammar.any_text.read_network", broken)
    assert main(["explain", NETWORK]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert "report" in err


def test_a_chat_in_a_pipe() -> None:
    done = run(typed=f"{NETWORK}\nC1 C2\nstop\n")
    assert done.returncode == 0
    assert "those two can become one" in done.stdout
    assert "\x1b" not in done.stdout
    assert done.stderr == ""


def test_a_network_from_standard_input_and_answers_after_a_blank_line() -> None:
    done = run("walk", "-", "--jsonl", typed=f"# the bench\n{NETWORK}\n\nC1 C2\n")
    objects = [json.loads(line) for line in done.stdout.splitlines()]
    assert "C2, 7 µF" in objects[0]["text"]
    assert [each["verdict"] for each in objects if each["kind"] == "verdict"] == ["right"]


def test_an_output_that_takes_ascii_alone_gets_ascii() -> None:
    done = run("explain", NETWORK, PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert done.returncode == 0
    assert done.stdout.isascii()
    assert "2.1 uF" in done.stdout
    assert "?" not in done.stdout


def test_a_reader_that_goes_away_is_no_fault() -> None:
    program = subprocess.Popen(
        [*COMMAND, "explain", NETWORK],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT,
    )  # fmt: skip
    assert program.stdout is not None
    assert program.stderr is not None
    program.stdout.close()
    err = program.stderr.read()
    assert program.wait(60) == 141
    program.stderr.close()
    assert err == b""


@pytest.mark.skipif(
    os.name != "posix" or signal.getsignal(signal.SIGINT) is signal.SIG_IGN,
    reason="needs signals as POSIX has them, and not ignored by whoever started the tests",
)
def test_ctrl_c_outside_a_chat() -> None:
    program = subprocess.Popen(
        [*COMMAND, "explain", "-"], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        stderr=subprocess.PIPE, cwd=ROOT,
    )  # fmt: skip
    with pytest.raises(subprocess.TimeoutExpired):
        program.wait(1.5)
    program.send_signal(signal.SIGINT)
    out, err = program.communicate(timeout=60)
    assert program.returncode == 130
    assert (out, err.strip()) == (b"", b"")


SLOW = ("pint", "sympy", "lark", "argparse", "tutor.teaching.dialogue", "grammar.reading")


def test_the_first_prompt_waits_for_nothing_that_is_slow() -> None:
    """Everything that a chat without arguments imports before its prompt is on the screen."""
    code = (
        "import sys, tutor.front.commands, tutor.front.shells, tutor.front.terminal as t;"
        "t.Shell(t.Screen(lambda: 80), list)._print_opening();"
        f"print([name for name in {SLOW!r} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True
    )
    assert done.stdout.strip().endswith("[]")


@pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
def test_in_a_real_terminal() -> None:
    seen = in_pseudo_terminal((("press Enter", "2\r"), ("Step 1 of 2", "stop\r")))
    assert "├─╢C1 6 µF╟─┼─╢C2 9 µF╟─┤" in seen
    assert "Step 1 of 2, then" in seen
    assert "Stopped after" in seen


@pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
def test_no_colour_where_none_is_wanted() -> None:
    keys = (("press Enter", f"{NETWORK}\r"), ("Step 1 of 1", "stop\r"))
    colour = re.compile(r"\x1b\[(?:[0-9]+;)*(?:[349][0-7]|38|48|10[0-7])[;m]")
    assert colour.search(in_pseudo_terminal(keys))
    assert not colour.search(in_pseudo_terminal(keys, NO_COLOR="1"))


@pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
def test_the_up_key_in_a_real_terminal() -> None:
    seen = in_pseudo_terminal(
        (
            ("press Enter", "2\r"),
            ("Step 1 of 2", "C2 C3\r"),
            ("What do C2 and C3 share", "undo\r"),
            ("Taken back", "\x1b[A\x1b[A\r"),
            ("What do C2 and C3 share", "stop\r"),
        )
    )
    assert seen.count("those two can become one") == 2


@pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
def test_plain_in_a_real_terminal_steers_nothing() -> None:
    cue = "Which network?"
    seen = in_pseudo_terminal(((cue, "2\n"), ("now?", "drawing\n"), ("left", "stop\n")), "--plain")
    assert "\x1b" not in seen
    assert "+-|C1 6 uF|-+-|C2 9 uF|-+" in seen


ESCAPE = "\x1b[31m\x9b2J\u202e"


@pytest.mark.parametrize("arguments", [
    ["explain", f"4 uF {ESCAPE}"],
    ["walk", "--plain", f"4 uF {ESCAPE}"],
    ["mark", "4 uF, across 3 V", "--working", f"{ESCAPE}.txt"],
    [f"sing{ESCAPE}"],
    ["lesson", f"one{ESCAPE}"],
    ["explain", f"C1 = 4 uF {'́' * 9_000}"],
    ["lesson", "one " * 3_000],
    ["--wrong" + "x" * 9_000],
    ["explain", "--json", "3 uF -- " + "y" * 9_000],
])
def test_what_is_typed_is_printed_without_escapes_and_cut_to_a_length(
    arguments: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", StringIO(f"{ESCAPE}\n"))
    main(arguments)
    out, err = capsys.readouterr()
    assert all(each.isprintable() or each == "\n" for each in out + err)
    assert len(out + err) < 9_000


def test_json_lines_hold_no_control_character_and_give_it_all_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "script.txt"
    script.write_text(f"C = 4 uF {ESCAPE}\u2028µ\n", "utf-8")
    main(["mark", "4 uF, across 3 V", "--working", str(script), "--json"])
    out = capsys.readouterr().out
    assert all(each.isprintable() or each == "\n" for each in out)
    assert "µ" in out
    assert ESCAPE in json.loads(out.splitlines()[0])["text"]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")
@pytest.mark.parametrize(("streams", "code", "told"), [
    (">&-", 2, "standard output is closed"),
    (">/dev/full", 2, "no space left"),
    ("--help >/dev/full", 2, "no space left"),
    ("2>&-", 0, ""),
    ("<&-", 0, ""),
    ("'--' 2>/dev/full", 2, ""),
    ("'--' >&- 2>&-", 2, ""),
    ("--file /dev/zero", 2, "device or a pipe"),
    ("--settings /dev/zero", 2, "device or a pipe"),
])
def test_a_stream_that_is_closed_or_full_is_told_plainly(
    streams: str, code: int, told: str
) -> None:
    given = "" if streams.startswith("--file") else "'4 uF'"
    done = subprocess.run(
        f"{sys.executable} -m tutor.front.commands explain {given} {streams}",
        shell=True, capture_output=True, text=True, cwd=ROOT, timeout=60, check=False,
        env={**os.environ, "XDG_CONFIG_HOME": NOWHERE},
    )  # fmt: skip
    assert done.returncode == code
    assert told in done.stderr
    assert "fault of the program" not in done.stderr
    assert "Traceback" not in done.stderr
