"""A problem in stages: questions in order, each with its answer, its reason and its help.

A maker works the physics out exactly and writes the story down; the dialogue, the printed
solution and the machine's copy are readings of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final, Literal, NamedTuple, Protocol, TypeAlias

from grammar.records import Dimension, Plates
from tutor.circuit.network import Network, Supply
from tutor.circuit.values import Value
from tutor.teaching.depicted import Depicted
from tutor.teaching.manner import PLAIN, Manner
from tutor.teaching.messages import About
from tutor.teaching.quantities import Quantity
from tutor.teaching.settings import DEFAULTS, Settings

Valued: TypeAlias = tuple[Value, Dimension | None]


class Option(NamedTuple):
    """One answer in words: what may be typed for it, whether it is right, what is said if not.

    ``malrules`` are names of wrong ideas that choosing it shows. ``again`` gives another try even
    where there is only one other answer. ``leads_to`` is what the next value of its kind would be
    if this were right.
    """

    words: tuple[str, ...]
    is_right: bool
    reply: str = ""
    malrules: tuple[str, ...] = ()
    again: bool = False
    leads_to: Valued | None = None
    unless: str = ""


# The key of a question whose value is the same as one before it.
PASSED_ON: Final = "by share"


class Way(NamedTuple):
    """A right way to a value: a ``relation`` as learners write it, on the names in ``uses``.

    ``uses`` holds their true values in SI units; what has been worked out before stands under the
    name that its question has. ``then`` is what is done with the result. ``worked`` are names that
    are not given, though no question may ask for them.
    """

    relation: str
    uses: Mapping[str, Valued]
    then: Literal["", "size", "rounded up", "square root"] = ""
    worked: tuple[str, ...] = ()


class Ask(NamedTuple):
    """One question of a story: a value (``dimension`` and ``right``) or a choice (``options``).

    ``key`` names the kind of question for malrules; ``name`` is how a learner writes the value (V,
    Q1, C), ``written`` how the text writes it (Q1' after a change); ``reveal`` is the worked
    answer, relation, numbers and result; ``because`` one line of reason for a right answer.
    ``hints`` go from where to look to the relation, never the value. ``facts`` are plain numbers in
    the usual units for malrules to run on, ``told`` the texts that their sentences may speak of.
    ``pure`` marks a plain number without unit (right is then that number). ``ways`` are the right
    ways to it from what is given or asked before, the first being that of the reveal. ``network``
    is there where a drawing may be added to the reveal. ``exact`` is the value itself where
    ``right`` is a fraction near a surd. ``skills`` are what it needs, where its ``key`` does not
    tell (see skills.py). ``compared`` are the capacitors of two ratios where it is asked whether
    these are equal.
    """

    key: str
    about: About
    text: str
    reveal: str
    because: str = ""
    name: str = ""
    dimension: Dimension | None = None
    right: Value | None = None
    options: tuple[Option, ...] = ()
    hints: tuple[str, ...] = ()
    facts: Mapping[str, Fraction] = MappingProxyType({})
    told: Mapping[str, str] = MappingProxyType({})
    pure: bool = False
    network: Network | None = None
    exact: Value | None = None
    skills: tuple[str, ...] = ()
    ways: tuple[Way, ...] = ()
    compared: tuple[tuple[str, str], ...] = ()
    written: str = ""

    @property
    def called(self) -> str:
        """The value's name as the text of the problem writes it; nothing where it has none."""
        return self.written or self.name


class Moment(NamedTuple):
    """What stands there from the question at place ``since`` on: a network, the supply that is
    joined to it, the point of each + plate, lines under values, such as ratings, and what lies
    ``inside`` the only pair of plates.
    """

    since: int
    network: Network
    supply: Supply | None = None
    plus: Mapping[str, str] = MappingProxyType({})
    notes: Mapping[str, tuple[str, ...]] = MappingProxyType({})
    inside: Plates | None = None


class Story(NamedTuple):
    """A whole problem in stages.

    ``kind`` is for the machine's copy; ``opening`` says what is given and wanted, ``closing``
    holds the checks, a line each; ``cautions`` are for real capacitors. ``powers`` are the usual
    prefixes. ``results`` are the values of the machine's copy, by name. ``moments`` tell what may
    be drawn at each stage, where that is not the one ``network`` all the way; ``drawn`` is one
    of what has no network of its own. ``besides`` are values that another way to the end may lead
    by, whether or not a question asks for them.
    """

    kind: str
    opening: tuple[str, ...]
    asks: tuple[Ask, ...]
    closing: tuple[str, ...]
    powers: Mapping[Dimension, int]
    cautions: tuple[str, ...] = ()
    network: Network | None = None
    results: Mapping[str, Valued] = MappingProxyType({})
    moments: tuple[Moment, ...] = ()
    drawn: Depicted | None = None
    besides: Mapping[Quantity, Value] = MappingProxyType({})


class Telling(NamedTuple):
    """How far a story has come.

    ``source`` writes the story in any settings. ``found`` are the places of questions that were
    answered before their turn, ``own`` the learner's own rounded values by name, ``chosen`` the
    first words of the answers taken rightly. ``tries``, ``rung`` (of the hints), ``unsure`` (an
    honest 'I don't know') and ``last_wrong`` belong to the question in hand;
    ``routes`` are the malrules of the ways of which the learner is asked to pick one, and
    ``follow_up`` is the malrule that asks back now;
    ``asked_back`` is what is asked in the place of the question in hand; both are about the
    question at the place ``back_to``, where that is another one. ``rightly``
    counts right values in a row by the key of their questions. ``in_full`` is the whole story
    where its end alone is asked. ``reminded``: a unit that was missing has been spoken of.
    """

    story: Story
    terms: Settings = DEFAULTS
    at: int = 0
    tries: int = 0
    rung: int = 0
    unsure: bool = False
    last_wrong: Value | str | None = None
    routes: tuple[tuple[str, ...], ...] = ()
    asked_back: str = ""
    follow_up: str = ""
    back_to: int | None = None
    over: bool = False
    manner: Manner = PLAIN
    found: frozenset[int] = frozenset()
    own: Mapping[str, Value] = MappingProxyType({})
    chosen: tuple[str, ...] = ()
    source: StorySource | None = None
    rightly: Mapping[str, int] = MappingProxyType({})
    in_full: Story | None = None
    reminded: bool = False

    @property
    def ask(self) -> Ask | None:
        """The question in hand."""
        return self.story.asks[self.at] if self.at < len(self.story.asks) else None

    @property
    def asked_at(self) -> int:
        """The place of the question that is asked: the one in hand, or one asked back about."""
        return self.at if self.back_to is None else self.back_to

    def is_known(self, at: int) -> bool:
        """Whether the question at a place has been answered or shown."""
        return at < self.at or at in self.found


class StorySource(Protocol):
    """What writes a story in any settings."""

    def story(self, settings: Settings) -> Story:
        """Errors: ``Refusal`` for data that cannot be."""
        ...


def twin(name: str) -> str:
    """V_P for U_P and the other way, E for W; any other name as it is."""
    return name[:1].translate(str.maketrans("VUEW", "UVWE")) + name[1:]


def is_called(ask: Ask, name: str) -> bool:
    """Whether learners write the value of a question so."""
    return bool(ask.name) and name in (ask.name, twin(ask.name))


# Whether something is lower or higher than before.

LESS: Final = ("lower", "less", "smaller", "falls", "decreases", "goes down")
MORE: Final = (
    "higher", "more", "larger", "greater", "bigger", "rises", "increases", "goes up",
)
SAME: Final = (
    "the same", "same", "equal", "unchanged", "kept", "conserved", "as much", "no change",
    "not change", "doesnt change", "does not change", "cannot change", "cant change", "wont change",
    "constant",
)


# The question that comes first everywhere: the p.d. or the charge.


PD_WORDS = (
    "p.d.", "p.d", "pd", "pds", "voltage", "voltages", "potential difference", "volts", "v", "u",
    "tension",
)
CHARGE_WORDS = ("the charge", "charge", "charges", "coulombs", "q")


def share_options(
    right: Literal["voltage", "charge"],
    reply: str,
    terms: Settings,
    malrules: tuple[str, ...] = (),
) -> tuple[Option, ...]:
    """The two answers in words; ``reply`` is said to the wrong one, which shows ``malrules``."""
    words = {"voltage": (f"the {terms.difference}", *PD_WORDS), "charge": CHARGE_WORDS}
    return tuple(
        Option(said, True) if kind == right else Option(said, False, reply, malrules)
        for kind, said in words.items()
    )
