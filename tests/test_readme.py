"""The README is held to the program: its session is replayed, its networks are read."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest

from grammar.reading import read_network
from tutor.circuit.network import build
from tutor.front.chat.before_problem import open_text
from tutor.front.chat.stages import Chat
from tutor.front.pipe import Streams, talk
from tutor.front.plain import Page
from tutor.front.saying import Voice
from tutor.teaching.settings import USUAL

GUIDE = (Path(__file__).parent.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
SESSION = re.search(r"    \$ platewalk walk \"(.+?)\" --plain\n((?:    .*\n|\n)+)", README)


class Typist(io.StringIO):
    """Lines to be typed; what is read is echoed, as a terminal does."""

    def __init__(self, lines: list[str], out: io.StringIO) -> None:
        super().__init__("".join(f"{line}\n" for line in lines))
        self.out = out

    def readline(self, size: int | None = -1, /) -> str:
        line = super().readline(-1 if size is None else size)
        self.out.write(line)
        return line

    def __next__(self) -> str:
        line = self.readline()
        if not line:
            raise StopIteration
        return line


def replay(network: str, lines: list[str]) -> str:
    """What a terminal would show of this chat, line by line."""
    out = io.StringIO()
    page = Page(70, False, False)
    start = open_text(read_network(network), Chat(USUAL))
    talk(start, Streams(Typist(lines, out), out, prompt="> "), Voice(page, page))
    return out.getvalue()


def test_session_of_the_readme_is_what_the_program_says() -> None:
    assert SESSION is not None
    network, block = SESSION.groups()
    shown = "\n".join(line[4:] for line in block.rstrip("\n").split("\n"))
    typed = re.findall(r"^> (.*)$", shown, re.MULTILINE)
    assert len(typed) > 10
    assert replay(network, typed).rstrip("\n") == shown


def networks() -> list[str]:
    """The indented lines under "A network", each a text of its own."""
    part = README.split("**A network**")[1].split("`--` joins")[0]
    return [line.strip() for line in part.splitlines() if line.startswith("    ")]


@pytest.mark.parametrize("line", networks())
def test_every_network_of_the_readme_is_read(line: str) -> None:
    assert build(read_network(line)).network.capacitors


def test_the_example_of_the_contributors_guide_runs() -> None:
    """Its assertions are the test."""
    page = GUIDE[GUIDE.index("## The conversation, on one page"):]
    block = re.search(r"\n\n((?:    (?:from|import) .*\n)(?:    .*\n|\n)+)", page)
    assert block is not None
    lines = [line[4:] for line in block[1].split("\n")]
    assert sum(line.startswith("assert") for line in lines) > 3
    exec("\n".join(lines), {})
