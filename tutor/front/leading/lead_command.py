"""``platewalk lead``: which session it is, the loop of its terminal, the projector, the report."""

from __future__ import annotations

import os
import sys
from contextlib import ExitStack
from datetime import datetime
from pathlib import Path
from time import sleep, time
from typing import TYPE_CHECKING, Any

from grammar.records import Refusal
from tutor.desk.leading.event_file import KNOWN_AS, EventFile, read_events
from tutor.desk.leading.kept_session import kept_in, report_of
from tutor.desk.leading.led import Led
from tutor.desk.leading.programme import Programme, of_lesson, of_text
from tutor.desk.leading.session import Happening, Session, begun
from tutor.desk.report_page import page_of
from tutor.front.keeping import settings_in
from tutor.front.leading.desk import DeskReply, hear_lead, now_before_the_class, own
from tutor.front.leading.screens import SessionWindow
from tutor.front.leading.watching import Watch, follow_for_class
from tutor.front.plain import Page
from tutor.front.record_place import sessions_folder
from tutor.front.reports import report_lines
from tutor.front.saving import save_over
from tutor.front.surroundings import is_terminal, settings_for

if TYPE_CHECKING:
    from tutor.front.options import Options

SUFFIX = ".jsonl"
WELCOME = "'help' lists what can be typed; 'spread' shows the answers to you alone."
AT_THE_END = "'end' closes it: what was answered is kept without names."
PRIVATE = "Only for you: blank the projector, then press Enter. "


def lead(options: Options, page: Page) -> None:
    """Lead, follow or report a session. Errors: ``Refusal`` for what cannot be used."""
    if options.report:
        _report(options, page)
    elif options.projector:
        window = SessionWindow(sys.stdout, page, _moves(options))
        follow_for_class(_last(options), window, lambda path: _reopened(read_events(path)), sleep)
    else:
        _lead(options, page)


def _moves(options: Options) -> bool:
    return is_terminal() and not options.plain and not os.environ.get("NO_COLOR")


# Which session


def _last(options: Options) -> Path:
    """The file named, or that of the session begun last. Errors: ``Refusal`` where none is."""
    if options.session is not None:
        return Path(options.session).expanduser()
    found = sorted(sessions_folder().glob(f"*{SUFFIX}"))
    if not found:
        raise Refusal(
            "No session has been begun yet.", "Begin one, as in: platewalk lead '4 uF -- 3 uF'"
        )
    return found[-1]


def _programme(event: Happening) -> Programme:
    """What a session leads through, by its first event. Errors: ``Refusal``."""
    if "lesson" not in event:
        return of_text(event["text"])
    from tutor.practice.library import lesson_called, lessons_in, own_lessons

    folder = event.get("from")
    if folder is None:
        lessons = own_lessons()
    else:
        found = lessons_in(Path(folder))
        lessons = tuple(each.lesson for each in found if each.lesson is not None)
    lesson = lesson_called(lessons, event["lesson"])
    if lesson is None:
        raise Refusal(
            f"There is no lesson {event['lesson']!r}.", "'platewalk lessons' lists them."
        )
    return of_lesson(lesson)


def _reopened(events: tuple[Happening, ...]) -> Session:
    """A session at its start, by its first event."""
    first = events[0]
    return begun(_programme(first), settings_in(first["settings"]), first["seed"])


def _first_event(options: Options) -> dict[str, Any]:
    text = " ".join((options.text or "").split())
    now = time()
    event: dict[str, Any] = {
        "event": "begun", "kept by": KNOWN_AS, "seed": int(now),
        "when": datetime.fromtimestamp(now).astimezone().isoformat(timespec="minutes"),
        "settings": settings_for(options)._asdict(),
    }
    word, _, rest = text.partition(" ")
    if word.lower() == "lesson" and rest:
        return {**event, "lesson": rest, "from": options.lessons_from}
    return {**event, "text": options.text or ""}


def _led(options: Options, stack: ExitStack) -> Led:
    """The session to lead: a new one for a text, else the last one. Errors: ``Refusal``."""
    if options.text is None:
        file = stack.enter_context(EventFile(_last(options)))
    else:
        first = _first_event(options)
        title = _programme(first).title  # refused before a file is begun
        file = stack.enter_context(EventFile(_new_path(options)))
        if file.events:
            raise Refusal(
                f"{file.path} holds a session already.",
                "Give no problem, to go on with it, or name another file.",
            )
        first["title"] = title
        file.add([first])
        file.events = (first,)
    if not file.events:
        raise Refusal(f"{file.path} holds no session.", "Name a problem or a lesson to begin one.")
    if file.events[-1]["event"] == "ended":
        raise Refusal(
            f"The session in {file.path} is over.",
            "Read it with --report, or begin another with a problem or a lesson.",
        )
    return Led(file, _reopened(file.events))


def _new_path(options: Options) -> Path:
    if options.session is not None:
        return Path(options.session).expanduser()
    stamp = datetime.now().astimezone().strftime("%Y-%m-%d-%H%M%S")
    return sessions_folder() / f"{stamp}{SUFFIX}"


# The loop


def _lead(options: Options, page: Page) -> None:
    with ExitStack() as stack:
        led = _led(options, stack)
        window = SessionWindow(sys.stdout, page, _moves(options))
        said = [WELCOME]
        if options.record is not None:
            said.append(_recording(led, options.record))
        if options.open:
            from tutor.front.leading.opened import door_for, opened, told_of

            door = door_for(led, options)
            stack.enter_context(opened(led, door))
            said.append(told_of(door))
            if not led.session.joined:
                window.put(hear_lead(led, "door").parts)
        if options.answers is not None:
            stack.enter_context(Watch(led, Path(options.answers).expanduser()))
        window.put(own(*said).parts)
        window.put(now_before_the_class(led).parts)
        _loop(led, window, is_private=options.own_screen or not window.moves)


def _recording(led: Led, name: str) -> str:
    """Have named learners' answers recorded at the end. Errors: ``Refusal`` where some have come in
    who were told otherwise, and for a record that cannot be used.
    """
    from tutor.learner.record import open_record

    path = str(Path(name).expanduser().absolute())
    if led.session.record != path:
        if led.session.joined:
            raise Refusal(
                "Learners have come in who were told that their names go at the end.",
                "Begin another session with --record.",
            )
        open_record(Path(path), time()).close()  # refused now, not at the end of a lesson
        led.happened({"event": "recorded", "record": path})
    return f"At 'end' the first answers of who gives a name go into {name}; the page tells them so."


def _loop(led: Led, window: SessionWindow, is_private: bool) -> None:
    prompts = sys.stdin.isatty() and sys.stdout.isatty()
    while True:
        line = _line("lead> " if prompts else "")
        if line is None:
            window.put(own(f"Kept in {led.file.path}. 'platewalk lead' goes on with it.").parts)
            return
        try:
            shown = hear_lead(led, line)
        except Refusal as refusal:
            shown = own(str(refusal))
        if _is_secret(shown) and not is_private and _line(PRIVATE) is None:
            return
        if shown.eyes == "class":
            window.before_class(shown.parts)
        else:
            window.put(shown.parts)
        if shown.leaves:
            return
        if led.session.stage == "over" and shown.eyes == "class":
            window.put(own(AT_THE_END).parts)


def _is_secret(shown: DeskReply) -> bool:
    """Whether answers are tabled for whoever leads alone."""
    return shown.eyes == "own" and any(hasattr(part, "rows") for part in shown.parts)


def _line(prompt: str) -> str | None:
    """A line typed; None at the end of the input or at Ctrl-C."""
    try:
        sys.stdout.write(prompt)
        sys.stdout.flush()
        line = sys.stdin.readline()
    except KeyboardInterrupt:
        print()
        return None
    return line.rstrip("\r\n") if line else None


# The report


def _report(options: Options, page: Page) -> None:
    path = _last(options)
    events = read_events(path)
    if not events:
        raise Refusal(f"{path} holds no session.", "Name another file.")
    first = events[0]
    if events[-1]["event"] == "ended" and not any(each["event"] == "said" for each in events):
        kept = kept_in(events)
    else:
        from tutor.desk.leading.class_predictions import judge
        from tutor.desk.leading.kept_session import kept_of
        from tutor.desk.leading.session import followed

        session = followed(_reopened(events), events[1:])
        kept = kept_of(session, lambda posed, text: judge(posed.talk, text))
    parts = tuple(report_of(first["title"], kept, _day(first["when"])))
    if options.to is not None:
        save_over(Path(options.to).expanduser(), page_of(first["title"], parts))
        print(f"Written to {options.to}.")
        return
    for line in report_lines(parts, page):
        print(line)


def _day(when: str) -> str:
    return datetime.fromisoformat(when).strftime("%d %B %Y, %H:%M").lstrip("0")
