"""A session that is being led: its file, what it is now, and whoever adds to it, one at a time."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from threading import RLock

from tutor.desk.leading.class_predictions import JudgedPrediction, Spread, judge, spread_of
from tutor.desk.leading.event_file import EventFile, write_anew
from tutor.desk.leading.kept_session import KeptQuestion, closing_events, kept_of
from tutor.desk.leading.posed import AskedRound, PutQuestion
from tutor.desk.leading.session import Happening, Session, follow, followed, is_current


class Led:
    """The session in a file. What happens is on the disk before it counts.

    Teacher and page add to it from different threads, so each addition holds the lock.
    """

    def __init__(self, file: EventFile, start: Session) -> None:
        """``start`` is the session at its first event; what the file holds is followed at once."""
        self.file = file
        self.first = file.events[0]
        self.session = followed(start, file.events[1:])
        self.lines_read = max((event.get("line", 0) for event in file.events), default=0)
        self._lock = RLock()
        self._judged: dict[tuple[int, str], JudgedPrediction] = {}

    def happened(self, *events: Happening) -> Session:
        """The session with these events. Errors: ``Refusal`` where they cannot be written."""
        with self._lock:
            self.file.add(events)
            self.session = followed(self.session, events)
            return self.session

    def take(self, said: Sequence[Happening]) -> list[bool]:
        """Answers, and who comes in, taken in with one writing; of each answer whether it was
        about the question that is on. Errors: as above.
        """
        with self._lock:
            posed = self.session.posed
            asked = posed if self.session.is_asking else None
            fit = [
                event["event"] != "said" or (asked is not None and is_current(asked, event))
                for event in said
            ]
            taken = [event for event, fits in zip(said, fit, strict=True) if fits]
            if taken:
                self.file.add(taken)
                for event in taken:
                    self.session = follow(self.session, event)
            return fit

    def judging(self, posed: PutQuestion, text: str) -> JudgedPrediction:
        """An answer to a question judged, each text once."""
        key = (posed.number, text)
        found = self._judged.get(key)
        if found is None:
            found = self._judged[key] = judge(posed.talk, text)
        return found

    def spread(self, posed: PutQuestion, asked: AskedRound) -> Spread:
        """The answers of one round, counted."""
        return spread_of(asked.predictions.values(), partial(self.judging, posed))

    def kept(self) -> tuple[KeptQuestion, ...]:
        """What would be kept if the session ended now."""
        return kept_of(self.session, self.judging)

    def end(self) -> None:
        """End for good: what is kept takes the place of who said what. Errors: ``Refusal``."""
        with self._lock:
            kept = self.kept()
            self.happened({"event": "ended"})
            self.file.close()
            write_anew(self.file.path, closing_events(self.first, kept))
