"""The story of ratings: which capacitor reaches its rating first, and the greatest safe supply."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Final, Literal, NamedTuple, TypeAlias

from grammar.outline import elements_of
from grammar.records import Amount, Asked, Description, Dimension, Refusal, Unknown
from grammar.writing import write_network
from tutor.circuit.network import Capacitor, Problem, Supply, build
from tutor.circuit.ratings import Greatest, Limit, greatest_supply, ratings_of
from tutor.circuit.solving import holding_of
from tutor.circuit.values import Value, tidy
from tutor.teaching.cautions import Hazards, cautions
from tutor.teaching.quantities import Quantity
from tutor.teaching.reasons import because, working_line
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, listed, sentence, speech_for
from tutor.teaching.staged.by_law import law_on
from tutor.teaching.staged.story import Ask, Moment, Option, Story, Valued, Way, share_options

GREATEST: Final = Asked("voltage")
WHOLE: Final = Asked("capacitance")


def is_rating(description: Description) -> bool:
    """Whether a text gives ratings and asks for no more than the greatest p.d., now or later, and
    the capacitance beside it.

    With a supply it has to be a p.d. in volts, which is then held against the greatest one.
    """
    capacitors = tuple(elements_of(description))
    plain = all(c.start is None and not isinstance(c.worth, Unknown) for c in capacitors)
    supply = description.supply
    fits = supply is None or (supply.quantity == "voltage" and isinstance(supply.worth, Amount))
    wanted = {*description.asked}
    asks_it = supply is None and wanted in ({GREATEST}, {GREATEST, WHOLE})
    more = (wanted and not asks_it) or description.changes or description.givens
    return bool(ratings_of(description)) and plain and fits and not more


def asks_more_of_ratings(description: Description) -> bool:
    """Whether a text asks for the greatest p.d. by its ratings, and for more beside it."""
    asked = set(description.asked)
    return (
        bool(ratings_of(description)) and description.supply is None
        and not (description.changes or description.givens)
        and GREATEST in asked and bool(asked - {GREATEST, WHOLE})
    )


def refuse_more(description: Description, settings: Settings) -> Story:
    """Errors: ``Refusal``, with the text of each of the two problems."""
    network = write_network(description._replace(asked=()))
    raise Refusal(
        f"By the ratings the greatest {settings.difference} is found, and nothing else.",
        f"Type {network}; asked: V for that; leave the ratings out to find the rest.",
    )


def rating_story(description: Description, settings: Settings) -> Story:
    """Who reaches its rating first, and the greatest supply.

    Errors: ``Refusal`` where letters leave that open, or where no rated one ever has a p.d.
    """
    problem = build(description)
    greatest = greatest_supply(problem.network, ratings_of(description))
    if greatest is None:
        raise Refusal(
            f"No rated capacitor here has a {settings.difference} that can be told in numbers.",
            "Give values in numbers, and ratings to capacitors between the ends.",
        )
    scene = RatingScene(problem, greatest, speech_for(problem, settings))
    return Story(
        "ratings",
        (write_network(description), *_opening(scene)),
        tuple(asks_of(scene)),
        tuple(_closing(scene)),
        problem.powers,
        _cautions(scene),
        problem.network,
        _results(scene),
        (Moment(0, problem.network, problem.supply, notes=_rated(description, scene)),),
    )


def _rated(description: Description, scene: RatingScene) -> Mapping[str, tuple[str, ...]]:
    return {
        name: (f"rated {scene.speech.amount(rating, 'voltage')}",)
        for name, rating in ratings_of(description).items()
    }


def _opening(scene: RatingScene) -> Iterator[str]:
    terms = scene.speech.terms
    unrated = scene.greatest.unrated
    if unrated:
        verb, subject = ("has", "it is") if len(unrated) == 1 else ("have", "they are")
        yield (
            f"{listed(unrated)} {verb} no rating: {subject} taken to bear any {terms.at_the_end}"
        )


def _closing(scene: RatingScene) -> Iterator[str]:
    speech, greatest = scene.speech, scene.greatest
    at_most = speech.amount(greatest.voltage, "voltage")
    each = [
        f"{limit.name} {speech.amount(scene.voltage(limit.name), 'voltage')} "
        f"of {speech.amount(limit.rating, 'voltage')}"
        for limit in scene.charged
    ]
    none = "; none is above its own" if len(each) > 1 else ""
    yield f"At {at_most}, against the ratings: {', '.join(each)}{none}."
    if scene.idle:
        verb = "has" if len(scene.idle) == 1 else "have"
        yield f"{listed(scene.idle)} never {verb} a {speech.terms.difference}, whatever the supply."
    if WHOLE in scene.problem.asked:
        yield from _whole(scene)


def _whole(scene: RatingScene) -> Iterator[str]:
    """The capacitance between the ends, worked out, where it is asked for beside."""
    solution = scene.greatest.at_one_volt
    assert solution.whole is not None, "a rated one has a p.d."
    for step in solution.steps:
        yield working_line(step, scene.speech)
    yield f"C {scene.speech.result(solution.whole.value, 'capacitance')}"


def _cautions(scene: RatingScene) -> tuple[str, ...]:
    whole = scene.greatest.at_one_volt.whole
    if whole is None:
        return ()
    held = holding_of(whole, scene.greatest.voltage)
    hazards = Hazards(rated=True, chained=scene.shape in ("chain", "mixed"))
    return cautions(held.voltage, held.energy, hazards, scene.speech.terms)


def _results(scene: RatingScene) -> Mapping[str, tuple[Value, Dimension | None]]:
    found: dict[str, tuple[Value, Dimension | None]] = {
        "greatest": (scene.greatest.voltage, "voltage")
    }
    for limit in scene.charged:
        found[f"V_{limit.name}"] = (scene.voltage(limit.name), "voltage")
    return found


# The questions about ratings: what is shared, who is first, and the greatest supply


RatedShape: TypeAlias = Literal["alone", "chain", "parallel", "mixed"]


class RatingScene(NamedTuple):
    """A problem with its greatest supply, and how values are put into words."""

    problem: Problem
    greatest: Greatest
    speech: Speech

    @property
    def shape(self) -> RatedShape:
        """Whether one rule settles all: one charge in a chain, one p.d. in a parallel set."""
        made = [step for step in self.greatest.at_one_volt.steps if step.makes is not None]
        if not made:
            return "alone"
        if len(made) > 1 or made[0].kind not in ("series", "parallel"):
            return "mixed"
        return "chain" if made[0].kind == "series" else "parallel"

    @property
    def charged(self) -> tuple[Limit, ...]:
        """The rated capacitors that ever have a p.d."""
        return tuple(limit for limit in self.greatest.limits if limit.share)

    @property
    def idle(self) -> tuple[str, ...]:
        """The rated ones that never have."""
        return tuple(limit.name for limit in self.greatest.limits if not limit.share)

    @property
    def first(self) -> Limit:
        """The first of those that reach their rating first."""
        return next(limit for limit in self.charged if limit.name in self.greatest.first)

    @property
    def members(self) -> tuple[Capacitor, ...]:
        """All capacitors that ever have a p.d., in the order of the network."""
        holdings = self.greatest.at_one_volt.holdings
        return tuple(c for c in self.problem.network.capacitors if holdings[c.name].voltage != 0)

    def capacitance(self, name: str) -> Value:
        """The capacitance of one of them, in farads."""
        return self.problem.network.named([name])[0].value

    def voltage(self, name: str) -> Value:
        """The p.d. across one of them at the greatest supply, in volts."""
        return tidy(self.greatest.at_one_volt.holdings[name].size.voltage * self.greatest.voltage)

    def usual(self, volts: Fraction) -> Fraction:
        """A p.d. as a plain number in the usual unit of the problem."""
        return volts / Fraction(10) ** self.speech.powers["voltage"]


YES = ("yes", "y", "it is", "within", "safe")
NO = ("no", "n", "it is not", "above", "too high", "unsafe")


def asks_of(scene: RatingScene) -> Iterator[Ask]:
    """All questions in their order."""
    if scene.shape in ("chain", "parallel"):
        yield _sharing(scene)
    if len(scene.charged) > 1:
        yield _first(scene)
    if scene.shape == "chain":
        yield _charge(scene)
    elif scene.shape == "mixed":
        yield _part(scene)
    yield _greatest(scene)
    if scene.problem.supply is not None:
        yield _within(scene, scene.problem.supply)


def _sharing(scene: RatingScene) -> Ask:
    names, terms = listed(c.name for c in scene.members), scene.speech.terms
    step = next(each for each in scene.greatest.at_one_volt.steps if each.makes is not None)
    reason = because(step, scene.speech)
    if scene.shape == "chain":
        reply = f"In a chain the {terms.differences} add up, and each member has a part of them."
        options = share_options("charge", reply, terms)
    else:
        reply = "Each of them has its own plates, and the charges on them add up."
        options = share_options("voltage", reply, terms)
    return Ask(
        "what rated ones share", "shares",
        f"What do {names} share: the {terms.difference} or the charge?",
        reason, reason, options=options,
        hints=(
            f"Look at the points that {names} join.",
            "Is there metal between them that nothing else touches, or do all join the same two "
            "points?",
        ),
    )


def _first(scene: RatingScene) -> Ask:
    difference = scene.speech.terms.difference
    names = [limit.name for limit in scene.charged]
    first = scene.greatest.first
    start, end = scene.problem.network.ends
    reason = _why_first(scene)
    both = f"{listed(first)} together" if len(first) > 1 else first[0]
    return Ask(
        "first at its rating", "choice",
        f"The {difference} between {start} and {end} rises slowly from zero. Which of "
        f"{listed(names)} reaches its rating first?",
        f"{both}: {reason}", sentence(reason),
        options=tuple(_option(scene, limit) for limit in scene.charged),
        hints=_first_hints(scene),
    )


def _why_first(scene: RatingScene) -> str:
    if scene.shape == "chain":
        return "all hold one charge, and its own C times its rating is the least of these charges."
    if scene.shape == "parallel":
        return f"all have one {scene.speech.terms.difference}, and its rating is the lowest."
    return f"the rating over its part of the whole {scene.speech.terms.difference} is the least."


def _option(scene: RatingScene, limit: Limit) -> Option:
    if limit.name in scene.greatest.first:
        return Option((limit.name,), True)
    if scene.shape == "chain":
        charge = tidy(scene.capacitance(limit.name) * limit.rating)
        text = f"At its rating {limit.name} would hold {scene.speech.amount(charge, 'charge')}, " \
               "and at that charge another one is above its rating."
        return Option((limit.name,), False, text, leads_to=(charge, "charge"))
    if scene.shape == "parallel":
        rating = scene.speech.amount(limit.rating, "voltage")
        text = f"{limit.name} bears {rating}, and at that another one is above its rating."
    else:
        text = f"When {limit.name} is at its rating, another one is above its own."
    return Option((limit.name,), False, text)


def _first_hints(scene: RatingScene) -> tuple[str, ...]:
    terms = scene.speech.terms
    difference = terms.difference
    if scene.shape == "chain":
        return (
            "Look at capacitance and rating of each.",
            "All hold one charge. Which of them can hold the least before its rating?",
            "Charge at the rating = C × rating",
        )
    if scene.shape == "parallel":
        return (
            "Look at the ratings.",
            f"All have one {terms.at_the_end} Which of them bears the least?",
        )
    return (
        f"Look at how the {difference} is divided, at 1 V between the ends.",
        f"Which has a large part of the {difference} for its rating?",
        f"Supply at the rating = rating / part of the whole {difference}",
    )


def _charge(scene: RatingScene) -> Ask:
    speech, limit = scene.speech, scene.first
    names: dict[Dimension, str] = {
        "capacitance": limit.name, "voltage": "rating", "charge": speech.name(Quantity("Q")),
    }
    values: dict[Dimension, Value] = {
        "capacitance": scene.capacitance(limit.name), "voltage": limit.rating,
    }
    law = law_on(values, names, speech, "charge")
    return law.ask(
        "charge at the rating",
        f"What charge {names['charge']} does {limit.name} hold at its rating of "
        f"{law.amount('voltage')}?",
        "Every other member of the chain carries that charge as well.",
        f"Look at {limit.name} alone.",
        "The capacitance is the charge for each volt. How many volts are there?",
    )


def _part(scene: RatingScene) -> Ask:
    speech, limit = scene.speech, scene.first
    difference = speech.terms.difference
    holdings = scene.greatest.at_one_volt.holdings
    each = [
        f"{c.name} {speech.shown(holdings[c.name].size.voltage, 'voltage').text}"
        for c in scene.members
    ]
    return Ask(
        "part of the supply", "value",
        f"What part of the whole {difference} is across {limit.name}? "
        "A fraction or a decimal, without a unit.",
        f"With 1 V between the ends: {', '.join(each)}. The part of {limit.name} is {limit.share}",
        f"All {speech.terms.differences} in the network grow alike, so that part stays the same.",
        name="part", right=limit.share, pure=True,
        hints=(
            f"Take 1 V, or any handy {difference}, between the ends and work the network out.",
            f"What is then across {limit.name}, compared with the whole?",
            f"part = {difference} across {limit.name} / {difference} between the ends",
        ),
    )


def _greatest(scene: RatingScene) -> Ask:
    speech, limit = scene.speech, scene.first
    v = speech.name(Quantity("V"))
    relation, numbers, because, idea = _worked(scene, v)
    shown = speech.shown(scene.greatest.voltage, "voltage").after_equals
    added = sum((each.rating for each in scene.charged), Fraction(0))
    return Ask(
        {"chain": "greatest in a chain", "parallel": "greatest side by side"}.get(
            scene.shape, "greatest supply"
        ),
        "voltage",
        f"What is {v}, the greatest {speech.terms.difference} that may be put between the ends?",
        f"{v} = {relation} {numbers} {shown}".replace("  ", " "), because,
        name=v, dimension="voltage", right=scene.greatest.voltage,
        hints=(f"Look at {limit.name} when it is at its rating.", idea, f"{v} = {relation}"),
        facts={
            "added": scene.usual(added), "first at the sum": scene.usual(added * limit.share),
            "largest": scene.usual(max(each.rating for each in scene.charged)),
            "smallest": scene.usual(min(each.rating for each in scene.charged)),
        },
        told=_told(scene), ways=(_way(scene),),
    )


def _way(scene: RatingScene) -> Way:
    limit = scene.first
    uses: dict[str, Valued] = {"rating": (limit.rating, "voltage")}
    if scene.shape == "mixed":
        return Way("rating/part", {**uses, "part": (limit.share, None)})
    if scene.shape != "chain":
        return Way("rating", uses)
    q = scene.speech.name(Quantity("Q"))
    charge = tidy(scene.capacitance(limit.name) * limit.rating)
    members: dict[str, Valued] = {c.name: (c.value, "capacitance") for c in scene.members}
    return Way(
        " + ".join(f"{q}/{name}" for name in members), {**members, q: (charge, "charge")}
    )


def _worked(scene: RatingScene, v: str) -> tuple[str, str, str, str]:
    """The relation, its numbers, why it is so, and the idea as a question."""
    speech, limit = scene.speech, scene.first
    rating = speech.amount(limit.rating, "voltage")
    difference = speech.terms.difference
    if scene.shape == "chain":
        q = speech.name(Quantity("Q"))
        parts = [speech.amount(scene.voltage(c.name), "voltage") for c in scene.members]
        return (
            " + ".join(f"{q}/{c.name}" for c in scene.members),
            f"= {' + '.join(parts)}",
            f"The {speech.terms.differences} along the chain add up, and {limit.name} is at its "
            "rating.",
            f"Which {difference} has each of the others at that charge, and what do they make "
            "together?",
        )
    if scene.shape == "mixed":
        return (
            f"rating of {limit.name} / part", f"= {rating} / ({limit.share})",
            f"With more, {limit.name} would be above its rating, and no other is before it.",
            f"If that part of {v} is the rating, what is {v}?",
        )
    if scene.shape == "parallel":
        return (
            f"rating of {limit.name}", "",
            f"All have the whole {difference} across them, so the lowest rating decides.",
            f"What {difference} may be across the one that bears the least?",
        )
    return (
        f"rating of {limit.name}", "",
        f"{limit.name} is straight between the ends, so the whole {difference} is across it.",
        f"Which part of the whole {difference} is across {limit.name}?",
    )


def _within(scene: RatingScene, supply: Supply) -> Ask:
    speech, greatest = scene.speech, scene.greatest.voltage
    given = speech.amount(supply.value, "voltage")
    inside = bool(supply.value <= greatest)
    word = "no more" if inside else "more"
    told = f"{given} is {word} than the {speech.amount(greatest, 'voltage')} that they bear."
    return Ask(
        "within the ratings", "check",
        f"The supply of the text has {given}. Is that within the ratings?",
        told, told,
        options=(Option(YES, inside, told), Option(NO, not inside, told)),
        hints=(f"Compare it with the greatest {speech.terms.difference} found.",),
    )


def _told(scene: RatingScene) -> Mapping[str, str]:
    speech, ratings = scene.speech, [each.rating for each in scene.charged]
    lowest = min(scene.charged, key=lambda limit: limit.rating)
    return {
        "first": scene.first.name,
        "lowest": lowest.name,
        "added": speech.amount(sum(ratings, Fraction(0)), "voltage"),
        "largest": speech.amount(max(ratings), "voltage"),
        "difference": speech.terms.difference,
    }
