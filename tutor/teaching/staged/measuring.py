"""Values stated in a problem in stages: which question they answer, and whether they are right."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final, NamedTuple

from grammar.answers import Claim, Measure, evaluate, is_plain_value, known, read_claims
from grammar.expressions import Expression, Name, Num, Op, Power, names_in, parts_of
from grammar.lengths import SIZE_SYMBOL
from grammar.measures import PURE
from grammar.quantity import UNIT_SIGN
from grammar.records import PERMITTIVITY_LETTER, Dimension, Refusal
from grammar.refusals import ANY_VALUE
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import Judged, judge
from tutor.teaching.marking.stories.following import follow, ways_to
from tutor.teaching.reading.said_values import read_said
from tutor.teaching.speech import Speech
from tutor.teaching.staged.potentials_said import with_potentials
from tutor.teaching.staged.story import Ask, Story, Telling, twin

WRITTEN_OUT: Final[Mapping[str, str]] = MappingProxyType(
    {
        r"(?i)\s+(?:of\s+an?\s+)?(?:square|sq\.?)\s+met(?:re|er)s?\b": " m2",
        r"(?<=\d)\s*m2(?!\w)": " m²",  # 1 m2 marks a capacitor where no area is spoken of
        r"(?:ε|\be)[0₀]": "eps0", r"ε_?[rᵣ]|\be(?:ps)?[_ ]?r\b|κ": "epsr", "π": "pi",
        r"(?:N|(?i:newtons?))\s*(?:/|per\b)\s*(?:C|(?i:coulombs?))\b": "V/m",
    }
)
# What physics books write for these, where the letter stands for nothing else.
SHORT: Final[Mapping[str, str]] = MappingProxyType({"E": "field", "F": "force"})
AN_AMOUNT: Final = re.compile(
    rf"(?i)[-+]?\d[\d.,/]*\s*(?:{UNIT_SIGN}|\w*(?:volt|coulomb|joule|farad)s?\b)?"
)
EMPTY_SIDE = "Nothing is said after the equals sign."


class JudgedValue(NamedTuple):
    """A judged value: ``at`` is the place of the question it answers, None where it names one that
    this problem does not ask; ``turned`` says that one over it was given; ``side`` is the sum by
    which it was worked out, where one was typed.
    """

    at: int | None
    judged: Judged
    measure: Measure
    turned: bool = False
    side: Expression | None = None


def claims_in(telling: Telling, line: str) -> tuple[Claim, ...]:
    """The statements of a line, in the names of this problem. Raises Refusal."""
    story = telling.story
    letters, known_names = letters_in(story), lookup_of(telling).keys()
    besides = {each.name for each in story.besides}
    names = known_names | _asked_names(story) | besides | {*map(twin, besides)}
    line = with_potentials(telling, without_primes(telling.terms.understood(line), names))
    sizes = speaks_of_sizes(story)
    for sign, written in WRITTEN_OUT.items() if sizes else ():
        line = re.sub(sign, written, line)
    if sizes and "k" not in names:  # as many books have it
        line = re.sub(r"(?<![\w.])(?<![\d.]\d\s)(?<!\s\d\s)k(?!\w)", "epsr", line)
    asked = {ask.name for ask in story.asks[: telling.at + 1] if ask.name}
    told = tuple(sorted({*dict(_given(story)), *letters, *asked}))  # in the letters of the story

    def in_notation(text: str) -> tuple[Claim, ...]:
        units = set(re.findall(r"\d\s*([CV])(?![A-Za-z0-9])", text))
        meant = bool(letters) and units <= {name[:1] for name in letters}
        return read_claims(text, names, meant, told, sizes)

    line = _with_the_name_asked(telling, _by_its_owner(telling, line, names), names)
    claims = in_notation(line) if is_plain_value(line) else read_said(line, names, in_notation)
    return tuple(_named_first(telling, claim) for claim in claims)


def _named_first(telling: Telling, claim: Claim) -> Claim:
    """400 uJ = E' as E' = 400 uJ, where that is asked: what stands last is no value of before."""
    asked = telling.ask.name if telling.ask is not None else ""
    *values, last = claim.sides
    if claim.target or claim.reciprocal or not values or not isinstance(last, Name):
        return claim
    if not asked or last.text not in (asked, twin(asked)):
        return claim
    return Claim(last.text, (last, *values))


_OWNER = re.compile(
    r"(?i)(?:(?:the\s+)?(?P<what>charge|voltage|p\.?\s?d\.?|energy)\s+(?:on|of|in|for|across)\s+"
    r"C_?(?P<of>\d+)\s*(?:is|=)|\bC_?(?P<has>\d+)\s+(?:has|holds|gets|takes|carries|stores|keeps"
    r"|is\s+(?:left\s+with|at)))\s*(?=[\d.])"
)


def _by_its_owner(telling: Telling, line: str, names: Collection[str]) -> str:
    """C1 has 100 as Q1' = 100, where a charge is asked and it has that name, or where that of
    another one is asked: it is no value without an owner then.
    """
    asked = telling.ask.name if telling.ask is not None else ""
    letter, number = asked[:1], asked[1:].rstrip("'")
    primes = asked[len(asked.rstrip("'")):]

    def named(found: re.Match[str]) -> str:
        owner = found["of"] or found["has"]
        name = f"{letter}{owner}{primes}"
        what = (found["what"] or "")[:1].upper().replace("P", "V")
        same_kind = not what or letter in {"C": "Q", "V": "VU", "E": "EW"}[what]
        is_of_another = same_kind and number.isdigit() and number != owner
        return f"{name} = " if (found["has"] and name in names) or is_of_another else found[0]

    return _OWNER.sub(named, line) if asked else line


def _with_the_name_asked(telling: Telling, line: str, names: Collection[str]) -> str:
    """Q = CV = 90 uC as Q1 = 90 uC where Q1 is asked and Q is no name here: of a law in bare
    letters the end counts.
    """
    name = telling.ask.name if telling.ask is not None else None
    found = re.match(r"\s*([CQVUE])\s*=(?:.*=)?([^=]+)$", line)
    if not name or found is None or found[1] in names or name[0] != found[1]:
        return line
    return f"{name} = {found[2].strip()}"


def speaks_of_sizes(story: Story) -> bool:
    """Whether lengths, areas, fields or forces are asked for."""
    by_measures = any("eps0" in way.uses for ask in story.asks for way in ask.ways)
    return by_measures or any(ask.dimension in SIZE_SYMBOL for ask in story.asks)


def without_primes(line: str, names: Collection[str]) -> str:
    """Q1' for Q1, as a value after a change is written, where no name has the prime of its own."""
    return re.sub(
        r"\b([A-Za-z]\w*)'+",
        lambda found: found[0] if found[0] in names or found[1] not in names else found[1], line,
    )


def _asked_names(story: Story, last: int | None = None) -> set[str]:
    asked = story.asks if last is None else story.asks[: last + 1]
    names = {ask.name for ask in asked if ask.name}
    return names | {twin(name) for name in names} | {
        short for short, name in SHORT.items() if name in names
    }


def lookup_of(telling: Telling) -> dict[str, Measure]:
    """What names are worth in a learner's sum: what is given, and what has been found so far.

    A p.d. and an energy may be written in either letter, whatever is set.
    """
    story, found = telling.story, dict(_given(telling.story))
    for at, ask in enumerate(story.asks):
        if telling.is_known(at) and ask.name and ask.right is not None and ask.dimension:
            found[ask.name] = known(ask.right, ask.dimension, story.powers[ask.dimension])
    found |= letters_in(story)
    if (only := only_capacitor(story)) in found and "C" not in _asked_names(story):
        found.setdefault("C", found[only])
    return found | {
        other: found[name] for name in [*found] if (other := twin(name)) not in found
    }


def only_capacitor(story: Story) -> str:
    """The name of the one capacitor of a story, of which C is said as well; nothing for several."""
    names = [c.name for c in story.network.capacitors] if story.network is not None else []
    return names[0] if len(names) == 1 else ""


_TIMES: Mapping[str, Fraction] = MappingProxyType({
    "halv": Fraction(1, 2), "half": Fraction(1, 2), "doubl": Fraction(2), "twice": Fraction(2),
    "tripl": Fraction(3), "trebl": Fraction(3), "quadrupl": Fraction(4),
    "unchanged": Fraction(1), "same": Fraction(1),
})
_CHANGED = re.compile(
    r"(?i)\W*(?:(?:it|that|this|[CQVUEW]\d?)(?:['’]s|\s+(?:is|has|gets|will|would|must))?\s+(?:be\s+)?)?"
    r"(?:goes?\s+(?:down\s+|up\s+)?to\s+|falls?\s+to\s+|rises?\s+to\s+)?"
    r"(?:(?:now|just|still|exactly|the|also|then)\s+)*"
    r"(?P<how>halved|halves|halving|half|doubled|doubles|doubling|double|twice|tripled|triples"
    r"|trebled|quadrupled|quadruples|unchanged|same"
    r"|(?P<times>\d+)\s*(?:times|x|×)(?:\s+(?:bigger|larger|higher|greater))?)"
    r"(?:\s+(?:now|again|of\s+(?:it|that|before|what\s+it\s+was)|as\s+(?:before|much|big)|as|value"
    r"|of\s+the\s+(?:old|first)(?:\s+one)?|the\s+(?:old|first)(?:\s+one)?))*\W*"
)


# V goes down 5 times; it is 3 times smaller
_SO_MANY_TIMES = re.compile(
    r"(?i)\W*(?:it|[CQVUEW]\d?'?)\s+(?:goes|went|is|gets|becomes)\s+(?:now\s+)?(?:(?:down|up)\s+(?:by\s+)?)?"
    r"(?P<times>\d+)\s*(?:times|x)(?:\s+(?:smaller|less|lower|bigger|larger|higher|more))?\W*"
)


def from_before(telling: Telling, line: str) -> str:
    """'halved' as half of what the quantity in hand was before, where it had a value; of 'doubled:
    24 V' the value alone.
    """
    head, _, rest = line.partition(":")
    if re.search(r"\d", rest) and _CHANGED.fullmatch(head):
        return rest
    factor, ask = factor_in(line), telling.ask
    before = value_before(telling, ask) if factor is not None else None
    if factor is None or before is None or ask is None or ask.dimension is None:
        return line
    usual = factor * before / Fraction(10) ** telling.story.powers[ask.dimension]
    return f"{usual.numerator}/{usual.denominator}" if usual.denominator > 1 else str(usual)


def factor_in(line: str) -> Fraction | None:
    """By how much a line says that something is multiplied; None where it says something else."""
    found = _CHANGED.fullmatch(line) or _SO_MANY_TIMES.fullmatch(line)
    if found is None:
        return None
    factor = Fraction(found["times"]) if found["times"] else next(
        by for word, by in _TIMES.items() if found["how"].lower().startswith(word)
    )
    is_less = found.re is _SO_MANY_TIMES and re.search(r"(?i)down|less|small|low", line)
    return 1 / factor if is_less and factor else factor


def value_before(telling: Telling, ask: Ask | None) -> Fraction | None:
    """What the quantity of a question was when it was last asked for or given."""
    if ask is None or not ask.name:
        return None
    name, asks = ask.name.rstrip("'"), telling.story.asks[: telling.at]
    worth = [each.right for each in asks if each.name.rstrip("'") == name and each.right]
    given = [
        way.uses[name][0] for each in (*asks, ask) for way in each.ways if name in way.uses
    ]
    value = next(iter([*reversed(worth), *given]), None)
    return value if isinstance(value, Fraction) else None


_OF_ONE = re.compile(
    r"(?i)\b(?:in|on|for|of|from)\s+(?:the\s+)?(?:first|second|third|left|right|other|[cC]\d+)"
    r"(?:\s+(?:one|capacitor|cap))?\W*$"
)
_OF_ANOTHER_KIND = re.compile(
    r"(?i)^\W*(?:the\s+)?(?:total\s+)?(?:q|v|u|e|charge|p\.?d\.?|voltage|energy)\b[^=\d]*"
    r"(?:\bis\b|=)"
)


def of_something_else(name: str | None, line: str) -> str | None:
    """A question back where a value is said to be of one part only, or of another quantity than
    the one that is asked.
    """
    if not name:  # a question of a lesson's own, whose value has no name
        return None
    if not re.search(r"\d", name) and _OF_ONE.search(line):
        return "That is said of one of them. How much is it of all together?"
    if name[0] == "C" and _OF_ANOTHER_KIND.match(line):
        return "That is another quantity. What comes of it for what is asked?"
    return None


def _given(story: Story) -> Iterator[tuple[str, Measure]]:
    """The values in the text, by the names that the ways to later values have for them."""
    asked = _asked_names(story)
    for ask in story.asks:
        for way in ask.ways:
            for name, (value, dimension) in way.uses.items():
                if name in asked or name in way.worked or not name.isidentifier():
                    continue
                if dimension is None:
                    yield name, Measure(value)
                else:
                    yield name, known(value, dimension, story.powers.get(dimension, 0))


def stated(telling: Telling, claim: Claim, place: int) -> JudgedValue:
    """A claim judged against the question it names, or else the one at ``place``. Raises Refusal.

    A name may be asked for before and after a change; where neither is in hand, the value is that
    of either.
    """
    sides = claim.sides[1:] if claim.target or claim.reciprocal else claim.sides
    if not sides:
        raise Refusal(EMPTY_SIDE, ANY_VALUE)
    if isinstance(sides[0], Power) and len(sides) > 1:
        evaluate(sides[0], lookup_of(telling))  # V² = … says no value of V
    measure = evaluate(sides[-1], lookup_of(telling))
    name = claim.target or claim.reciprocal
    places = _places(telling, name) if name else [place]
    if place in places:
        places = [place]
    found = [JudgedValue(at, judged_as(telling, at, measure), measure) for at in places]
    if not found:
        return JudgedValue(None, Judged("wrong"), measure)
    fitting = next((each for each in found if each.judged.verdict == "right"), found[0])
    if fitting.judged.note == "unit" and fitting.at is not None and (
        in_metres := _in_metres(telling, fitting.at, sides[-1])
    ):
        judged = judged_as(telling, fitting.at, in_metres)
        fitting = JudgedValue(fitting.at, judged, in_metres)
    side = next((each for each in sides if isinstance(each, Op)), None)
    return fitting._replace(turned=claim.reciprocal is not None, side=side)


def _in_metres(telling: Telling, at: int, side: Expression) -> Measure | None:
    """eps0 × 5 × 0.003 / 0.0002 with its areas and lengths in metres, as they were asked for."""
    numbers = [part for part in parts_of(side) if isinstance(part, Num)]
    names = set(names_in(side))
    dimension, lookup = telling.story.asks[at].dimension, lookup_of(telling)
    if names != {"eps0"} or dimension is None or any(number.unit for number in numbers):
        return None
    worth = evaluate(side, {"eps0": Measure(lookup["eps0"].value, bare=True)})
    return known(worth.value, dimension, telling.story.powers[dimension])


def _places(telling: Telling, name: str) -> list[int]:
    """The questions whose value is called so: the one in hand before later and earlier ones."""
    asks = telling.story.asks
    if name in SHORT and not any(name in (ask.name, twin(ask.name)) for ask in asks if ask.name):
        name = SHORT[name]
    places = [at for at, ask in enumerate(asks) if ask.name and name in (ask.name, twin(ask.name))]
    ahead = [at for at in places if not telling.is_known(at)]
    return [*ahead, *(at for at in places if at not in ahead)]


def later_answered(telling: Telling, found: JudgedValue, is_sum: bool = False) -> JudgedValue:
    """The value as that of a later question, where it is one and is right for it; as it was for
    any other. A number without a unit is so only at the end of a sum.
    """
    for at in range(telling.at + 1, len(telling.story.asks)):
        ask = telling.story.asks[at]
        if ask.right is None or at in telling.found or ask.pure:
            continue
        judged = judged_as(telling, at, found.measure)
        if judged.verdict == "right" and (is_sum or not judged.bare):
            return JudgedValue(at, judged, found.measure)
    return found


def judged_as(telling: Telling, at: int, measure: Measure) -> Judged:
    """A value judged as the answer to the question at this place."""
    ask = telling.story.asks[at]
    if ask.right is None:
        return Judged("wrong")
    own = from_own(telling, at)
    if ask.pure or ask.dimension is None:
        return judge(measure, PURE, 0, ask.right, own)
    return judge(measure, ask.dimension, telling.story.powers[ask.dimension], ask.right, own)


def from_own(telling: Telling, at: int) -> Value | None:
    """What the learner's own rounded values lead to by the right way; None without any."""
    if not telling.own:
        return None
    for path in ways_to(telling.story, at):
        values = {
            name: telling.own.get(link.name, link.value[0]) for name, link in path.links.items()
        }
        if any(link.name in telling.own for link in path.links.values()):
            return follow(path, values)
    return None


def is_equation(telling: Telling, line: str) -> bool:
    """Whether a line is an equation in values of this story, some of them still to be found."""
    asks = telling.story.asks
    names = {ask.name for ask in asks if ask.name}
    names |= {name for ask in asks for way in ask.ways for name in way.uses}
    try:
        said = with_potentials(telling, telling.terms.understood(line))
        claims = read_claims(said, {*names, *map(twin, names)})
    except Refusal:
        return False
    sides = [s for claim in claims for s in claim.sides[1 if claim.target else 0 :]]
    is_equal = any(len(claim.sides) > 1 for claim in claims)
    return is_equal and bool(names_in(*sides))


def letters_in(story: Story) -> Mapping[str, Measure]:
    """The letters that stand for values in this story, as learners may use them."""
    found: dict[str, Measure] = {}
    for ask in story.asks:
        if ask.right is None or not in_letters(ask.right):
            continue
        for symbol in ask.right.free_symbols:
            first = str(symbol)[:1]
            if str(symbol) == PERMITTIVITY_LETTER:
                found[str(symbol)] = Measure(symbol, bare=True)
                continue
            kind: Dimension = (
                "voltage" if first in "VU" else "charge" if first == "Q" else "capacitance"
            )
            found[str(symbol)] = known(symbol, kind)
    return found


def said_of(judged: Judged, ask: Ask, speech: Speech) -> str:
    """The value that was said, in the usual words."""
    if judged.value is None:
        return "that"
    if ask.pure or ask.dimension is None:
        return f"{float(judged.value):g}"
    return speech.amount(judged.value, ask.dimension)
