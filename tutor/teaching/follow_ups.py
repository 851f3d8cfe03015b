"""What the tutor has just asked besides its question: what answers it, what does not, what is said.

A follow-up after a wrong value (an aside) and a hint put as a question are small questions of their
own. Each has an item here; the reply decides what is said, and the question in hand comes after it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from tutor.teaching.hearing import points_in
from tutor.teaching.walk import Aside, Question, Walk
from tutor.teaching.wording import step_of


class FollowUp(NamedTuple):
    """Words that answer a follow-up and words that answer it wrongly, with what is said to each."""

    right: str
    wrong: str
    yes: str
    no: str


MORE: Final = r"(?:more|bigger|larger|higher|greater|rises?|up|increases?|grows?)"
LESS: Final = r"(?:less|smaller|lower|falls?|down|decreases?|drops?|fewer|shrinks?)"
YES: Final = r"(?:yes|yeah|yep|yup|sure|it does|it would|they are|they do|true|ja)"
NO: Final = r"(?:no|nope|nah|not|never|cannot|can't|n't|doesn't|false|nein)"
CHARGE: Final = r"(?:charges?|q|coulombs?)"
PD: Final = r"(?:p\.?\s?d\.?s?|voltages?|volts?|potential differences?|v|u)"
RECIPROCALS: Final = r"(?:1\s*/\s*c|one over c?|reciprocals?|inverses?|upside.?down)"
CAPACITANCES: Final = r"(?:(?<!/)(?<!/ )(?<!over )c|capacitances?|the values)"
ALONG: Final = "Along a chain the charge is the same and the p.d.s add."
ITEMS: Mapping[str, FollowUp] = MappingProxyType({
    "adds-a-series-pair": FollowUp(
        rf"{CHARGE}\b.*\b(?:same|stays|one|{PD})|same.*\b{CHARGE}|^\W*(?:the )?{CHARGE}\W*$"
        rf"|{PD}.*\badds?",
        rf"capacitances?\s+adds?|{CHARGE}\s+adds?|same\s+{PD}|^\W*(?:the )?{PD}\W*$",
        ALONG, ALONG,
    ),
    "subtracts-in-a-chain": FollowUp(
        rf"{PD}|{RECIPROCALS}", rf"{CHARGE}|{CAPACITANCES}", ALONG, ALONG,
    ),
    "turns-over-the-sum": FollowUp(
        r"turn\w*|flip\w*|revers\w*|reciproc\w*|1\s*/\s*c", r"add\w*|sum\w*",
        "First each is turned over, then they are added, and the sum is turned back.",
        "Each p.d. is the charge over its own capacitance, so each is turned over by itself first.",
    ),
    "divides-for-the-charge": FollowUp(
        r"doubl\w*|twice|two times|x\s*2|\*\s*2", rf"halv\w*|half|same|{LESS}",
        "Twice the p.d. goes with twice the charge.",
        "Twice the p.d. on one capacitor goes with twice the charge.",
    ),
    "multiplies-for-the-pd": FollowUp(
        r"small\w*|little|less", r"large\w*|big\w*|more",
        "A small capacitance needs more p.d. for the same charge.",
        "A large capacitance holds more for each volt, so it needs less p.d. for the same charge.",
    ),
    "upside-down-pd": FollowUp(
        MORE, LESS, "More charge on it, more p.d. across it.",
        "Each further bit of charge is pushed on against what is there: the p.d. rises.",
    ),
    "multiplies-by-c-in-the-charge-form": FollowUp(
        LESS, MORE, "Less p.d. for that charge, so less energy.",
        "A bigger capacitor needs less p.d. for the same charge, and so less energy.",
    ),
    "charge-times-pd-without-half": FollowUp(
        NO, YES, "The first bit crossed hardly any p.d., the last one nearly all.",
        "When charging began there was no p.d. yet to be crossed.",
    ),
    "reciprocal-rule-on-parallel": FollowUp(
        MORE, LESS, "For each volt both take charge.",
        "At each volt the one that is put beside takes its own charge as well.",
    ),
    "adds-reciprocals-of-parallel": FollowUp(
        r"same|one|equal|full", r"shares?|split|parts?|divided",
        "One and the same p.d., so the charges add.",
        "All join the same two points, so one and the same p.d. is across each.",
    ),
    "largest-only": FollowUp(
        NO, YES, "Each holds its own charge, whatever is beside it.",
        "Its two ends still have the same p.d. between them, so it still holds charge.",
    ),
    "multiplies-equal-ones-in-a-chain": FollowUp(
        LESS, MORE, "In a chain each gets only part of the p.d.",
        "In a chain each gets only part of the p.d., so less charge comes for each volt.",
    ),
    "divides-equal-ones-in-parallel": FollowUp(
        MORE, LESS, "Side by side all take charge.",
        "Side by side each takes its own charge at the full p.d.",
    ),
    "takes-the-average": FollowUp(
        LESS + "|below|under", MORE + "|above|over|between", "It lies below the smallest.",
        "Each gets only part of the p.d., so the chain holds less for each volt than any member.",
    ),
    "product-over-sum-on-three": FollowUp(
        r"two|2|pair", r"three|3|any|all|four|4", "For two at a time.",
        "It comes from adding two fractions: it holds for two at a time.",
    ),
    "resistor-rules-throughout": FollowUp(
        CHARGE, rf"{PD}|current", "One charge all along the chain.",
        "The metal between two of a chain is cut off: what is the same there is the charge.",
    ),
    "keeps-the-energy": FollowUp(
        CHARGE, rf"energy|{PD}", "The charge has nowhere to go.",
        "Energy can leave as heat; look at what has no way out of the joined metal.",
    ),
    "supply-on-keeps-the-charge": FollowUp(
        r"supply|battery|source|cell|it does", rf"{CHARGE}|nothing|capacitor",
        "The supply does.", "While the supply is joined it holds the p.d. between its ends.",
    ),
    "supply-off-keeps-the-pd": FollowUp(
        r"nowhere|nothing|none|no(?:where| way| place)|not", r"supply|battery|source",
        "Nowhere: so the charge stays.",
        "The supply is gone, so no charge can come from it.",
    ),
    "gap-upside-down": FollowUp(
        MORE, LESS, "The same charge needs more p.d. over a wider gap.",
        "The field between the plates stays and the way is longer, so the p.d. rises.",
    ),
    "filling-lowers-the-capacitance": FollowUp(
        MORE, LESS, "The same charge over less p.d. is more.",
        "The same charge over a smaller p.d. is a larger quotient.",
    ),
    "adds-stacked-layers": FollowUp(
        r"all|both|every|each", r"one|single", "All of them, one after the other.",
        "From plate to plate the line goes through each layer in turn.",
    ),
    "adds-the-pds": FollowUp(
        NO, YES, "It lies between them.",
        "Charge flows from the higher to the lower until both agree, so it ends between them.",
    ),
})
_OF_HINTS: Mapping[str, FollowUp] = MappingProxyType({
    "series adds": FollowUp(
        RECIPROCALS, CAPACITANCES, "1/C adds up.",
        "With one charge on all, each p.d. is that charge over its own C, and the p.d.s add.",
    ),
    "parallel adds": FollowUp(
        r"adds?|sum|plus|together|grow", RECIPROCALS + "|divide|share",
        "They add.", "At one p.d. the charges add, so the capacitances do.",
    ),
    "V": FollowUp(r"small\w*|little|less", r"large\w*|big\w*|more", "A small one.",
              "A large one holds more for each volt, so it needs less p.d."),
    "Q": FollowUp(r"doubl\w*|twice", r"halv\w*|half|same", "It would double too.",
              "Twice the p.d. goes with twice the charge."),
    "E": FollowUp(r"half\w*|halv\w*|1/2|½", r"full|all|whole|same", "Half of what it came to.",
              "It began at zero, so on average it was half of what it came to."),
})


def item_of(walk: Walk, question: Question, aside: Aside | None) -> FollowUp | None:
    """The item of what has just been asked; None where nothing was, or it has none."""
    if aside is not None:
        names = [name for group in aside.options for name in group]
        return ITEMS.get(names[0]) if aside.kind == "ask" and names else None
    quantity, step = question.quantity, question.step
    if walk.rung != 2 or quantity is None or question.about == "check":
        return None
    if quantity.symbol == "C":
        return _OF_HINTS.get(f"{step.kind} adds") if step is not None else None
    return None if step is not None and step.kind == "removal" else _OF_HINTS.get(quantity.symbol)


def said_to(item: FollowUp, line: str) -> str | None:
    """What is said to a line that answers the item; None for a line that does not."""
    text = line.lower().replace("’", "'")
    if re.search(r"\d", re.sub(r"1\s*/\s*[c2]|\b[23]\b|\*\s*2|x\s*2", "", text)) or "=" in text:
        return None
    is_right, is_wrong = _says(item.right, text), _says(item.wrong, text)
    denied = re.search(r"(?:\b(?:not|never)|n't)\b", text) is not None and item.right != NO
    if is_right == is_wrong or denied:
        return None
    return f"Yes. {item.yes}" if is_right else item.no


def _says(words: str, text: str) -> bool:
    return re.search(rf"(?<![a-z0-9])(?:{words})(?![a-z0-9])", text) is not None


def on_hint_of_points(walk: Walk, question: Question, line: str) -> str | None:
    """What is said to the points, or the form, that the first hint about sharing asks for."""
    if walk.rung != 1 or question.about not in ("shares", "reason"):
        return None
    step = step_of(question)
    if question.going_back:
        form = {"series": r"one after|in a row|series|chain|line",
                "parallel": r"same two|same points|parallel|side by side|beside"}
        said = [kind for kind, words in form.items() if _says(words, line.lower())]
        if len(said) != 1:
            return None
        return "Yes, they were." if said == [step.kind] else "Look at the drawing once more."
    second = step.parts[1]
    points = points_in(line, walk.network)
    return "Yes, those two." if set(points) == second.points else None
