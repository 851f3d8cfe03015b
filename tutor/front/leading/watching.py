"""A session followed from beside: a file of answers that grows, and the window for the class."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event as Flag
from threading import Thread
from types import TracebackType

from grammar.records import Refusal
from tutor.desk.leading.class_predictions import JudgedPrediction, judge
from tutor.desk.leading.class_view import class_view, rounds_table
from tutor.desk.leading.event_file import read_events
from tutor.desk.leading.kept_session import spread_in
from tutor.desk.leading.led import Led
from tutor.desk.leading.posed import PutQuestion
from tutor.desk.leading.session import Happening, Session, followed
from tutor.desk.leading.tally import answers_in
from tutor.desk.report import ReportPart
from tutor.front.leading.screens import SessionWindow
from tutor.learner.files import text_of
from tutor.teaching.messages import Message

PAUSE = 0.3


class Watch:
    """Takes the lines of a file as they are added; lines that come while nothing is asked are
    passed over. A line that has been read is not read again, not even after a restart.
    """

    def __init__(self, led: Led, path: Path) -> None:
        self.led = led
        self.path = path
        self.read = led.lines_read
        self._stopped = Flag()
        self._thread = Thread(target=self._watch, daemon=True)

    def __enter__(self) -> Watch:
        self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._stopped.set()
        self._thread.join()
        self.look()

    def look(self) -> None:
        """Take what is new. A file that is not there or cannot be read has nothing new; lines that
        cannot be kept are tried again at the next look.
        """
        try:
            text = text_of(self.path)
        except (FileNotFoundError, Refusal):
            return
        whole = text[: text.rfind("\n") + 1].splitlines()
        new = list(enumerate(whole, start=1))[self.read :]
        said = [event for number, line in new for event in self._events(number, line)]
        try:
            self.led.take(said)
        except Refusal:
            return
        self.read = max(self.read, len(whole))

    def _events(self, number: int, line: str) -> Iterator[Happening]:
        posed = self.led.session.posed
        if posed is None or not self.led.session.is_asking or not line.strip():
            return
        for place, (times, text) in enumerate(answers_in(line)):
            yield {"event": "said", "who": f"file {number} {place}", "text": text, "times": times,
                   "line": number, "question": posed.number, "round": posed.round}

    def _watch(self) -> None:
        while not self._stopped.wait(PAUSE):
            self.look()


def follow_for_class(
    path: Path, window: SessionWindow, opened: Callable[[Path], Session],
    pause: Callable[[float], None],
) -> None:
    """Show the class a session that is led in another window, until it is over."""
    session, taken = opened(path), 1
    shown: tuple[Message | ReportPart, ...] = ()
    while True:
        events = read_events(path)
        session, taken = followed(session, events[taken:]), max(taken, len(events))
        if events[-1]["event"] == "ended":  # what is kept has taken the place of what happened
            session = session._replace(stage="over")
        parts = tuple(_parts(session))
        if parts != shown:
            window.before_class(parts)
            shown = parts
        if session.stage == "over":
            return
        pause(PAUSE)


def _parts(session: Session) -> Iterator[Message | ReportPart]:
    posed, door = session.posed, session.door
    if door is not None and session.stage != "over":
        from tutor.front.leading.opened import shown_door, way_in

        has_begun = session.number > 1 or (posed is not None and posed.rounds[0].predictions)
        yield way_in(door) if has_begun else shown_door(door)
    if session.stage == "revealed" and posed is not None:
        spreads = [spread_in(posed, each, _judging) for each in posed.rounds]
        table = rounds_table(posed, spreads)
        if table is not None:
            yield table
    seen = class_view(session)
    if posed is not None and session.is_asking:
        number = posed.rounds[-1].answered
        seen.append(Message("say", f"Answers so far: {number}" if number else "No answers yet."))
    yield from seen


def _judging(posed: PutQuestion, text: str) -> JudgedPrediction:
    return judge(posed.talk, text)
