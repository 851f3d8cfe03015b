"""The story of ratings: which capacitor reaches its rating first, and the greatest safe supply."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from grammar.outline import elements_of
from grammar.records import Amount, Asked, Description, Dimension, Refusal, Unknown
from grammar.writing import write_network
from tutor.circuit.network import build
from tutor.circuit.ratings import greatest_supply, ratings_of
from tutor.circuit.solving import holding_of
from tutor.circuit.values import Value
from tutor.teaching.cautions import Hazards, cautions
from tutor.teaching.settings import Settings
from tutor.teaching.speech import listed, speech_for
from tutor.teaching.staged.rating_asks import RatingScene, asks_of
from tutor.teaching.staged.story import Moment, Story


def is_rating(description: Description) -> bool:
    """Whether a text gives ratings and asks for no more than the greatest p.d., now or later.

    With a supply it has to be a p.d. in volts, which is then held against the greatest one.
    """
    capacitors = tuple(elements_of(description))
    plain = all(c.start is None and not isinstance(c.worth, Unknown) for c in capacitors)
    supply = description.supply
    fits = supply is None or (supply.quantity == "voltage" and isinstance(supply.worth, Amount))
    found_anyway = () if supply else (Asked("voltage"),)
    others = any(each not in found_anyway for each in description.asked)
    others = bool(others or description.changes or description.givens)
    return bool(ratings_of(description)) and plain and fits and not others


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
