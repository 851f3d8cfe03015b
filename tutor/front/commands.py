
"""The program: what each command does, with its exit code.

0 if all went well, 1 if something checked was found wanting, 2 for input or options that cannot
be used, 130 after Ctrl-C outside a chat, 141 where the reader of the output has gone.
"""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from io import StringIO
from types import MappingProxyType
from typing import TYPE_CHECKING

from tutor.front.surroundings import complain, is_terminal, page_for, settings_for

if TYPE_CHECKING:
    from tutor.front.options import Options
    from tutor.practice.lessons import Lesson

WANTING, UNUSABLE, INTERRUPTED, READER_GONE = 1, 2, 130, 141
MOST_READ = 10_000_000
# New objects between two looks for garbage. Start-up makes many, and all of them stay: looking
# through them again and again took an eighth of it.
SELDOM = 100_000


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the program and return its exit code; nothing is raised, whatever happens."""
    gc.set_threshold(SELDOM)
    try:
        return _guarded(arguments)
    finally:
        if arguments is None:  # the process ends here: a last look for garbage took an eighth of it
            gc.freeze()


def _guarded(arguments: Sequence[str] | None) -> int:
    given = sys.argv[1:] if arguments is None else arguments
    if not _has_streams():
        return UNUSABLE
    try:
        code = _run(given)
        sys.stdout.flush()
    except KeyboardInterrupt:
        _tell("")
        return INTERRUPTED
    except BrokenPipeError:
        _let_go_of_output()
        return READER_GONE
    except OSError as fault:
        _let_go_of_output()
        _tell(f"platewalk: {_of_streams(fault)}")
        return UNUSABLE
    except Exception as fault:
        told = f"platewalk: a fault of the program itself ({type(fault).__name__}: {fault})."
        _tell(f"{' '.join(told.split())} Please report it.")
        return UNUSABLE
    return code


def _has_streams() -> bool:
    """Whether there is somewhere to print to; a stream that is closed otherwise counts as empty."""
    if sys.stdin is None:
        sys.stdin = StringIO()
    if sys.stderr is None:
        sys.stderr = StringIO()
    if sys.stdout is None:
        _tell(
            "platewalk: standard output is closed, so there is nowhere to print to. Leave it open, "
            "or send it to a file."
        )
    return sys.stdout is not None


def _tell(text: str) -> None:
    """A last word on standard error, if it takes one."""
    from grammar.shown import visible

    try:
        print(visible(text), file=sys.stderr, flush=True)
    except OSError:
        _let_go_of_output()  # or what is left of it would be tried once more at the end


def _of_streams(fault: OSError) -> str:
    """What a stream that fails is told as, with what would do."""
    from errno import ENOSPC

    said = (fault.strerror or str(fault)).lower()
    cure = "See that the terminal or the file is still there."
    if fault.errno == ENOSPC:
        cure = "Make room on the disk, or send the output to another place."
    return f"reading or printing stopped: {said}. {cure}"


def _let_go_of_output() -> None:
    """Keep Python from writing to closed or full streams once more as it ends."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except (OSError, ValueError):
            with suppress(OSError, ValueError):  # not a real stream: nothing is written at the end
                os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def _run(arguments: Sequence[str]) -> int:
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    if not arguments and is_terminal():
        from tutor.front.shells import chat_at_once

        chat_at_once()  # the commonest start, which waits for no option parser
        return 0
    from grammar.refusals import Refusal
    from tutor.front.options import read_options

    try:
        options = read_options(arguments)
    except SystemExit as leaving:  # after help, or a usage message
        return leaving.code if isinstance(leaving.code, int) else UNUSABLE
    try:
        return COMMANDS[options.command](options)
    except Refusal as refusal:
        complain(refusal, options.width)
        return UNUSABLE


def _version(options: Options) -> int:
    del options
    from importlib.metadata import PackageNotFoundError, version

    try:
        print(f"platewalk {version('platewalk')}")
    except PackageNotFoundError:
        print("platewalk (run from its source)")
    return 0


def _completion(options: Options) -> int:
    from tutor.front.options import completion_script

    print(completion_script(options.what))
    return 0


def _chat(options: Options) -> int:
    from tutor.front.shells import chat

    chat(options)
    return 0


def _explain(options: Options) -> int:
    if options.file is not None:
        return _explain_file(options.file, options)
    from grammar.any_text import sure_reading
    from tutor.front.on_paper import on_paper

    page, text = page_for(options), _text(options)
    read = sure_reading(text)
    if options.json:
        from tutor.front.stories import explained

        _print_object(explained(read.text, read.description), page.ascii)
        return 0
    for line in on_paper(options)(read.description, settings_for(options), page):
        print(line)
    return 0


def _text(options: Options) -> str:
    return _piped() if options.text == "-" else options.text or ""


def _explain_file(name: str, options: Options) -> int:
    from tutor.front.entries import explain_file
    from tutor.front.on_paper import print_file

    code = 0
    if not options.json:
        return WANTING if print_file(_read(name), options) else 0
    for entry in explain_file(_read(name), options.lines):
        _print_object(entry, page_for(options).ascii)
        code = WANTING if "error" in entry else code
    return code


def _mark(options: Options) -> int:
    page = page_for(options)
    if options.scheme_only:
        from tutor.front.marks import MarkOptions, scheme_command

        code, lines = scheme_command(
            _text(options), MarkOptions(json=options.json, scheme=options.scheme, page=page)
        )
        to_errors = code != 0 and not options.json
        for line in lines:
            print(line, file=sys.stderr if to_errors else sys.stdout)
        return code
    if options.class_folder is not None or len(options.working) > 1:
        from tutor.front.class_marks import mark_many

        code, lines = mark_many(options, _text(options), page)
        for line in lines:
            print(line)
        return code
    from tutor.front.marks import MarkOptions, mark_command, pupil_of

    (name,) = options.working
    wanted = MarkOptions(
        json=options.json, scheme=options.scheme, page=page, pupil=pupil_of(options.learner, name)
    )
    code, lines = mark_command(_text(options), _read(name), wanted)
    to_errors = code != 0 and not options.json
    for line in lines:
        print(line, file=sys.stderr if to_errors else sys.stdout)
    return code


def _arrange(options: Options) -> int:
    from grammar.wishing import read_wish
    from tutor.circuit.arranging import LONGEST_WATCHED
    from tutor.front.arranged import arranged, arranged_json, arranged_lines
    from tutor.front.progress_line import ProgressLine

    page = page_for(options)
    progress = ProgressLine("Looking through, at most", LONGEST_WATCHED, options.plain)
    found = arranged(read_wish(_text(options)), options.most, progress.step)
    progress.end()
    if options.json:
        _print_object(arranged_json(found, options.most), page.ascii)
    else:
        for line in arranged_lines(found, options.most, settings_for(options), page):
            print(line)
    return 0 if found.is_met else WANTING


def _lessons(options: Options) -> int:
    from tutor.front.lessons_command import check_command, list_lines, writing_lines

    page = page_for(options)
    if options.what == "skills":
        for line in writing_lines(page):
            print(line)
        return 0
    if options.folder is None:
        for line in list_lines(_library(options), page):
            print(line)
        return 0
    code, lines = check_command(options.folder, page, options.json)
    for line in lines:
        print(line)
    return code


def _library(options: Options) -> Sequence[Lesson]:
    from pathlib import Path

    from tutor.practice.library import lessons_in, own_lessons

    if options.lessons_from is None:
        return own_lessons()
    from tutor.front.shells import look_into

    look_into(options.lessons_from)
    found = lessons_in(Path(options.lessons_from))
    return [each.lesson for each in found if each.lesson is not None]


def _course(options: Options) -> int:
    from tutor.front.shells import chat

    words = " ".join(filter(None, (options.command, options.text)))
    chat(options._replace(text=None), wish=words)
    return 0


def _picture(options: Options) -> int:
    from tutor.front.picture_command import draw_every, draw_one

    terms = settings_for(options)
    if options.file is None:
        draw_one(_text(options), options, terms)
        return 0
    return draw_every(_read(options.file), options, terms)


def _sheet(options: Options) -> int:
    from tutor.front.sheet_command import print_sheet

    texts = None if options.file is None else _read(options.file)
    for line in print_sheet(options, _library(options), texts, settings_for(options)):
        print(line)
    return 0


def _lesson(options: Options) -> int:
    if options.printed is None:
        return _course(options)
    from tutor.front.sheet_command import print_lesson

    for line in print_lesson(
        options.text or "", options, _library(options), settings_for(options)
    ):
        print(line)
    return 0


def _paper(options: Options) -> int:
    if options.printed is None:
        return _course(options)
    from tutor.front.sheet_command import print_paper

    for line in print_paper(options.text or "", options, settings_for(options)):
        print(line)
    return 0


def _record(options: Options) -> int:
    from tutor.front.record_command import merged, record_lines

    if options.what == "merge":
        code, lines = merged(options, page_for(options))
        print("\n".join(lines))
        return code
    for line in record_lines(options, page_for(options)):
        sys.stdout.write(line)
    return 0


def _class(options: Options) -> int:
    from tutor.front.class_command import class_lines

    code, lines = class_lines(options, page_for(options))
    sys.stdout.writelines(lines)
    return code


def _lead(options: Options) -> int:
    from tutor.front.leading.lead_command import lead

    lead(options, page_for(options))
    return 0


def _items(options: Options) -> int:
    from tutor.front.items_command import write_items

    for line in page_for(options).wrapped(write_items(options, _library(options))):
        print(line)
    return 0


def _read(name: str) -> str:
    """A file's text. Errors: ``Refusal`` for a file that cannot be read."""
    from pathlib import Path

    from grammar.refusals import Refusal
    from tutor.learner.files import text_of

    if name == "-":
        return _piped()
    try:
        return text_of(Path(name), MOST_READ)
    except FileNotFoundError:
        raise Refusal(f"There is no file {name}.", "Name another file.") from None


def _piped() -> str:
    """Standard input. Errors: ``Refusal`` where there is more than a file may hold."""
    from grammar.refusals import Refusal

    text = sys.stdin.read(MOST_READ + 1)
    if len(text) > MOST_READ:
        found = f"Standard input has more than {MOST_READ:,} characters."
        raise Refusal(found, "Part it into smaller pieces.")
    return text


def _print_object(entry: object, ascii: bool) -> None:
    from grammar.shown import json_line

    print(json_line(entry, ascii))


COMMANDS: Mapping[str, Callable[[Options], int]] = MappingProxyType({
    "chat": _chat,
    "walk": _chat,
    "explain": _explain,
    "mark": _mark,
    "arrange": _arrange,
    "lessons": _lessons,
    "lesson": _lesson,
    "practice": _course,
    "review": _course,
    "paper": _paper,
    "picture": _picture,
    "sheet": _sheet,
    "record": _record,
    "class": _class,
    "items": _items,
    "lead": _lead,
    "completion": _completion,
    "version": _version,
})


if __name__ == "__main__":
    sys.exit(main())
