"""Simulated pupils at work in the chat, and what the tutor makes of them beside what is true.

A pupil works in the chat itself, a line in and messages out.
"""

from __future__ import annotations

from collections import Counter
from random import Random
from typing import Final, NamedTuple

from tests.pupil_answers import LEAVE, answer
from tests.pupils import HELP, SPOILS, Nature, Pupil, guesser, nature
from tutor.front.chat.stages import Answer, Chat, Choosing, Person
from tutor.front.chat.talk import respond
from tutor.learner.knowledge import Idea
from tutor.learner.standing import DAY, Standing
from tutor.practice.library import lessons_for, own_lessons
from tutor.teaching.observation import Observation
from tutor.teaching.rules.catalogue import MAIN_SKILL
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.skills import BY_CODE

ONE_GUESSER_IN: Final = 8
FIRST_DAY: Final = 1_800_000_000.0
DAYS: Final = 4
TASKS_OF_A_SKILL: Final = 20
TASKS_A_SITTING: Final = 5
MOST_LINES: Final = 60  # to one task
MOST_OF_A_REVIEW: Final = 80
LESSONS: Final = own_lessons()


class Called(NamedTuple):
    """A wrong rule called possible, held or resolved: after how many chances to show, and how many
    tasks of its skill. ``own`` says whether the pupil has this rule, ``helped`` whether one that
    the same help serves, ``known`` whether the pupil knows the skill that it spoils, ``in_words``
    whether it showed by words that were chosen and not by a number.
    """

    name: str
    state: str
    chances: int
    tasks: int
    own: bool
    helped: bool
    known: bool
    in_words: bool


class Mastered(NamedTuple):
    """Mastery of a skill called, after so many chances since it is known; None if it is not."""

    skill: str
    since_known: int | None


class Diary(NamedTuple):
    """What came of one pupil.

    ``tasks`` are those of each skill that was practised, ``chances`` the questions that needed it;
    ``ideas`` are all that showed, as they stand at the end, ``held`` the rules held then,
    ``cured`` those given up. ``unfinished`` are the lines after which a course did not end.
    """

    born: Nature
    answers: int
    tasks: Counter[str]
    chances: Counter[str]
    known: frozenset[str]
    held: tuple[str, ...]
    cured: tuple[str, ...]
    called: tuple[Called, ...]
    mastered: tuple[Mastered, ...]
    ideas: dict[str, Idea]
    reviewed: int
    unfinished: tuple[str, ...]


class Watch:
    """One pupil in the chat, and what happens."""

    def __init__(self, pupil: Pupil, seed: int) -> None:
        self.pupil = pupil
        person = Person(now=FIRST_DAY, seed=seed, library=lambda: LESSONS)
        self.chat = Chat(DEFAULTS, person=person)
        self.answers = 0
        self.tasks: Counter[str] = Counter()
        self.chances: Counter[str] = Counter()
        self.known_at = dict.fromkeys(pupil.known, 0)
        self.called: list[Called] = []
        self.mastered: list[Mastered] = []
        self.asked: set[tuple[int, str]] = set()
        self.unfinished: list[str] = []
        self.reviewed = 0

    def sitting(self, day: int) -> None:
        """Another day: the chat begins anew with where the pupil stands."""
        person = self.chat.person
        now = FIRST_DAY + day * DAY
        self.chat = self.chat._replace(
            person=person._replace(now=now, seed=person.seed + 500), course=None, stage=Choosing()
        )

    def follow(self, wish: str, tasks: int, skill: str | None = None) -> int:
        """Work at what is wished for until it ends, or for so many tasks; how many there were."""
        self.say(wish)
        done = 0
        while self.chat.course is not None and done < tasks:
            done += 1
            if skill is not None:
                self.tasks[skill] += 1
            begun = self.chat.problems
            for _ in range(MOST_LINES):
                if self.chat.course is None or self.chat.problems != begun:
                    break
                said = answer(self.pupil, self.chat)
                self.say(said.line, said.rule)
            else:
                self.unfinished.append(wish)
                self.say(LEAVE)
        if self.chat.course is not None:
            self.say("home")
        return done

    def say(self, line: str, rule: str | None = None) -> None:
        """A line, and what the tutor makes of it; ``rule`` is the pupil's own that it shows."""
        before = self.chat.person.standing
        answered = respond(self.chat, line)
        self.chat = answered.chat
        shown = [message.seen for message in answered.messages if message.seen is not None]
        self._notice(before, self.chat.person.standing, shown)
        self._live_on(answered, rule)

    def _notice(self, before: Standing, after: Standing, shown: list[Observation]) -> None:
        if before is after:
            return
        for skill, now in after.skills.items():
            then = before.of(skill)
            self.chances[skill] += now is not then
            if then.mastered_when is None and now.mastered_when is not None:
                known = self.known_at.get(skill)
                since = None if known is None else self.chances[skill] - known
                self.mastered.append(Mastered(skill, since))
        for name, idea in after.ideas.items():
            then_idea = before.ideas.get(name)
            if idea.state is not None and (then_idea is None or then_idea.state != idea.state):
                kinds = [seen.answer for seen in shown if name in seen.malrules]
                call = self._call(name, idea.state, idea.chances)
                self.called.append(call._replace(in_words=kinds[-1:] != ["number"]))

    def _call(self, name: str, state: str, chances: int) -> Called:
        held = self.pupil.held
        tasks = max((self.tasks[code] for code in SPOILS.get(name, ())), default=0)
        helped = HELP.get(name) in {HELP[own] for own in held}
        known = MAIN_SKILL.get(name) in self.pupil.known
        return Called(name, state, chances, tasks, name in held, helped, known, False)

    def _live_on(self, answered: Answer, rule: str | None) -> None:
        """What the pupil takes from it: each question once is a chance to learn."""
        if rule is not None:
            self.pupil.shows(rule)
        for message in answered.messages:
            seen = message.seen
            if seen is not None and (self.chat.problems, seen.key) not in self.asked:
                self.asked.add((self.chat.problems, seen.key))
                self.answers += 1
                self.pupil.learns(seen.skills)
        for skill in self.pupil.known:
            self.known_at.setdefault(skill, self.chances[skill])

    def diary(self) -> Diary:
        """What came of it."""
        born, held = self.pupil.born, self.pupil.held
        return Diary(
            born, self.answers, self.tasks, self.chances, frozenset(self.pupil.known), tuple(held),
            tuple(name for name in born.held if name not in held), tuple(self.called),
            tuple(self.mastered), dict(self.chat.person.standing.ideas), self.reviewed,
            tuple(self.unfinished),
        )


def school(number: int) -> Diary:
    """The pupil of a number, through some days of lessons, practice and review."""
    rng = Random(number)
    born = guesser(rng) if number % ONE_GUESSER_IN == 0 else nature(rng)
    return taught(born, rng, number)


def taught(born: Nature, rng: Random, number: int, days: int = DAYS) -> Diary:
    """The same for a pupil of this nature, through so many days."""
    watch = Watch(Pupil(born, rng), number * 10_000)
    lessons = lessons_for(LESSONS, born.practised[0])
    if lessons and not number % 2:
        watch.follow(f"lesson {lessons[0].number}", TASKS_OF_A_SKILL)
    for day in range(days):
        watch.sitting(day)
        for skill in born.practised:
            tasks = min(TASKS_A_SITTING, TASKS_OF_A_SKILL - watch.tasks[skill])
            while tasks > 0 and not watch.chat.person.standing.is_steady(skill):
                tasks -= max(watch.follow(f"practise {BY_CODE[skill].name}", tasks, skill), 1)
        watch.follow("practice", 2)
    watch.sitting(days + 3)
    watch.reviewed = watch.follow("review", MOST_OF_A_REVIEW)
    return watch.diary()
