"""A file of a lesson to its record, or every fault in it with its place.

The file begins with a fenced block called lesson, a table of TOML; after it comes CommonMark. What
stands before a fenced block called task is one part of the lesson, the task is the next.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from copy import copy
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, NamedTuple

from grammar.records import Refusal
from tutor.practice.lesson_fields import Table
from tutor.practice.lesson_head import closing_of
from tutor.practice.lesson_places import LessonText
from tutor.practice.lesson_tasks import exercise_of
from tutor.practice.lessons import Exercise, Faults, Lesson, LessonPart, Prose

if TYPE_CHECKING:
    from markdown_it.token import Token

NAME: Final = re.compile(r"(\d\d)-([a-z0-9]+(?:-[a-z0-9]+)*)\.md")
TASK: Final = "task"

_NO_PLACE: Mapping[str, tuple[str, str]] = MappingProxyType({
    "blockquote_open": ("A quotation has no place in a lesson.", "Take the > away."),
    "code_block": ("Text set in by four spaces is read as code.", "Take the spaces away."),
    "hr": ("A line across the page has no place in a lesson.", "Leave it out; ## heads a part."),
    "html_block": ("HTML has no place in a lesson.", "Say it in plain words."),
    "html_inline": ("HTML has no place in a lesson.", "Say it in plain words."),
    "image": ("A picture has no place in a lesson.", "A task draws its network by itself."),
    "link_open": ("A link has no place in a lesson.", "Say it in plain words."),
    "mathematics": (
        "Mathematics in TeX has no place in a lesson.",
        "Write it as code in plain signs, as in `C = C1 C2/(C1 + C2)`.",
    ),
})
# Between dollars, in \\( \\) or \\[ \\], or a command of TeX by its backslash; not within code.
_VALUE: Final = re.compile(r"[-+−±≈~<>]?\s*[.,]?\d")
_CODE: Final = re.compile(r"(`+)(?!`).*?(?<!`)\1(?!`)", re.DOTALL)
_TEX: Final = re.compile(r"\$\$|(?<![\w$])\$(?! )[^$\n]+(?<! )\$(?!\w)|\\[(\[]|\\[A-Za-z]{2,}")


def read_lesson(name: str, text: str) -> Lesson:
    """Read the text of a file of this name, such as ``07-two-in-series.md``.

    Errors: ``Faults`` with everything that is wrong in it.
    """
    source = LessonText(text.removeprefix("\ufeff"))
    faults: list[Refusal] = []
    number, called = _number_and_name(name, faults)
    try:
        closing = closing_of(source)
    except Refusal as refusal:
        raise Faults(name, (*faults, refusal)) from None
    heading = Table(source, 2, closing - 1, 1)
    title = ""
    unit: int | str = 0
    skills: tuple[str, ...] = ()
    if heading.is_read:
        title = heading.text("title")
        unit = heading.unit("unit")
        skills = heading.skills("skills")
        heading.refuse_the_rest("the head of a lesson")
    faults += heading.faults
    lesson = Lesson(number, called, title, unit, skills, tuple(_parts(source, closing, faults)))
    if faults:
        raise Faults(name, in_order(faults), lesson)
    return lesson


def _number_and_name(name: str, faults: list[Refusal]) -> tuple[int, str]:
    named = NAME.fullmatch(name)
    if named is None:
        faults.append(Refusal(
            f"The name {name} does not tell which lesson this is.",
            "Name the file by two figures and small letters, as in 07-two-in-series.md.",
        ))
        return 0, ""
    return int(named[1]), named[2]


def in_order(faults: Iterable[Refusal]) -> tuple[Refusal, ...]:
    """Faults by where they stand in the file; first those of the file itself."""
    return tuple(sorted(faults, key=_where))


def _where(fault: Refusal) -> tuple[int, int]:
    return (fault.place.line, fault.place.column) if fault.place else (0, 0)


def _where_and_what(fault: Refusal) -> tuple[int, str]:
    """Two of one sort on one line are told once."""
    return _where(fault)[0], fault.found


# The parts


class _Line(NamedTuple):
    """One line of prose from the line ``at`` of the file; of the list with this number, if any, or
    a heading of this level.
    """

    text: str
    at: int
    list: int | None
    level: int = 0


def _parts(source: LessonText, closing: int, faults: list[Refusal]) -> Iterator[LessonPart]:
    """Prose and tasks in turn; ``closing`` is the last line of the heading."""
    from markdown_it import MarkdownIt

    body = "\n".join(["" for _ in source.lines[:closing]] + source.lines[closing:])
    prose: list[_Line] = []
    for block in _blocks(MarkdownIt("commonmark").enable("table").parse(body)):
        if isinstance(block, _Line):
            prose.append(block)
            continue
        if block.type != "fence":
            fault = _out_of_place(source, block)
            if not faults or _where_and_what(faults[-1]) != _where_and_what(fault):
                faults.append(fault)
            continue
        if prose:
            yield _prose(source, prose)
            prose = []
        exercise = _exercise(source, block, faults)
        if exercise is not None:
            yield exercise
    if prose:
        yield _prose(source, prose)


def _prose(source: LessonText, lines: Sequence[_Line]) -> Prose:
    """The lines with an empty one before each that does not go on with a list."""
    spaced: list[_Line] = []
    for line in lines:
        if spaced and (line.list is None or line.list != spaced[-1].list):
            spaced.append(_Line("", line.at, None))
        spaced.append(line)
    return Prose(
        tuple(line.text for line in spaced),
        tuple(line.at for line in spaced),
        tuple(line.level for line in spaced),
        source.at_line(lines[0].at),
    )


def _exercise(source: LessonText, fence: Token, faults: list[Refusal]) -> Exercise | None:
    opened, end = _first_line(fence), fence.map[1] if fence.map else 0
    place = source.at_line(opened)
    info = fence.info.strip()
    if fence.level:
        found, cure = "A task does not stand in a list.", "Begin its ``` at the margin."
    elif info != TASK:
        called = f"called '{info}'" if info else "without a name"
        found, cure = f"A block {called} has no place in a lesson.", "A task begins with ```task."
    elif end == opened or source.lines[end - 1].strip().strip(fence.markup[0]):
        found, cure = "The task that begins here has no end.", "End it with a line ```."
    else:
        return exercise_of(source, opened, end - 1, faults)
    faults.append(Refusal(found, cure, place))
    return None


def _out_of_place(source: LessonText, token: Token) -> Refusal:
    found, cure = _NO_PLACE.get(token.type) or (
        "The title stands in the head alone.",
        "Begin a heading within the lesson with ##.",
    )
    first = _first_line(token)
    sign = {"image": "![", "link_open": "[", "html_inline": token.content}.get(token.type, "")
    at = source.text.find(sign, source.start_of(first)) if sign else -1
    return Refusal(found, cure, source.at(at) if at >= 0 else source.at_line(first))


def _first_line(token: Token) -> int:
    """The number of the line on which a token begins."""
    return (token.map[0] if token.map else 0) + 1


# Prose


def _blocks(tokens: Sequence[Token]) -> Iterator[_Line | Token]:
    """Lines of prose; and tokens: each fence, and each that has no place in a lesson."""
    marks: list[str] = []  # what the next line of each list that is open begins with
    counts: list[int | None] = []
    lists = level = 0
    table = _Table()
    for token in tokens:
        if token.type.split("_")[0] in _OF_TABLES or table.heads is not None:
            yield from table.taken(token, lists)
            lists += token.type == "table_open"
            continue
        if token.type in ("bullet_list_open", "ordered_list_open"):
            lists += not counts
            ordered = token.type == "ordered_list_open"
            counts.append(int(token.attrs.get("start", 1)) if ordered else None)
            marks.append("")
        elif token.type in ("bullet_list_close", "ordered_list_close"):
            counts.pop()
            marks.pop()
        elif token.type == "list_item_open":
            count = counts[-1]
            marks[-1] = "- " if count is None else f"{count}. "
            counts[-1] = None if count is None else count + 1
        elif token.type == "inline":
            yield from _out_of_line(token)
            within = lists if marks else None
            yield _Line("".join(marks) + _plain(token), _first_line(token), within, level)
            marks = [" " * len(each) for each in marks]
            level = 0
        elif token.type == "heading_open" and token.tag != "h1":
            level = int(token.tag[1])
        elif token.type in ("fence", *_NO_PLACE) or (token.tag == "h1" and token.nesting == 1):
            yield token


_OF_TABLES: Final = frozenset({"table", "thead", "tbody", "tr", "th", "td"})


class _Table:
    """A table as a list: each of its rows is an entry, every cell led by the head of its column,
    so that it can be read aloud and on a narrow screen. A name that begins a row needs no head.
    """

    def __init__(self) -> None:
        self.heads: list[str] | None = None
        self.cells: list[str] = []
        self.in_head = False
        self.line = 0

    def taken(self, token: Token, lists: int) -> Iterator[_Line | Token]:
        """What comes of one more token of a table; ``lists`` is the number of the last list."""
        if token.type == "table_open":
            self.heads = []
        elif token.type == "table_close":
            self.heads = None
        elif token.type in ("thead_open", "thead_close"):
            self.in_head = token.type == "thead_open"
        elif token.type == "tr_open":
            self.cells = []
            self.line = _first_line(token)
        elif token.type == "inline":
            yield from _out_of_line(token)
            self.cells.append(_plain(token))
        elif token.type == "tr_close" and self.in_head:
            self.heads = self.cells
        elif token.type == "tr_close":
            yield _Line(f"- {self._row()}", self.line, lists)

    def _row(self) -> str:
        told = [
            f"{head}: {cell}" if head and (at or _VALUE.match(cell)) else cell
            for at, (head, cell) in enumerate(zip(self.heads or [], self.cells, strict=True))
            if cell
        ]
        return "; ".join(told)


def _out_of_line(inline: Token) -> Iterator[Token]:
    if _TEX.search(_CODE.sub("", inline.content)):
        found = copy(inline)
        found.type = "mathematics"
        yield found
    for child in inline.children or ():
        if child.type in _NO_PLACE:
            child.map = inline.map
            yield child


def _plain(inline: Token) -> str:
    """The text without its marks; what is between marks of code is kept as it is."""
    pieces = (
        " " if child.type in ("softbreak", "hardbreak") else child.content
        for child in inline.children or ()
    )
    return "".join(pieces).strip()
