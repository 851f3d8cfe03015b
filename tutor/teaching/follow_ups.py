"""What the tutor has just asked besides its question: what answers it, what does not, what is said.

A follow-up after a wrong value (an aside) and a hint put as a question are small questions of their
own. Each has an item, in ``rules/wrong_ideas.toml`` or here; the reply decides what is said, and
the question in hand comes after it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from grammar.spoken_numbers import in_figures
from tutor.circuit.relations import by_law
from tutor.circuit.values import Value
from tutor.teaching.hearing import points_in
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.idea_texts import (
    CAPACITANCES,
    NO,
    PLACES,
    RECIPROCALS,
    FollowUp,
    follow_up_of,
)
from tutor.teaching.speech import listed
from tutor.teaching.walk import Aside, Question, Walk, is_stuck, suggested
from tutor.teaching.ways_of_walk import used_by
from tutor.teaching.wording import step_of

OF_HINTS: Final[Mapping[str, FollowUp]] = MappingProxyType({
    "series adds": FollowUp(
        RECIPROCALS, CAPACITANCES, "1/C adds up.",
        "With one charge on all, each p.d. is that charge over its own C, and the p.d.s add.",
    ),
    "parallel adds": FollowUp(
        r"adds?|sum|plus|together|grow", RECIPROCALS + "|divide|share",
        "They add.", "At one p.d. the charges add, so the capacitances do.",
    ),
    "series keeps": FollowUp(
        r"no\s?where (?:else|but|except)|(?:only|just|from) .*(?:other|neighbou?r\w*|opposite|next)"
        r"|(?:other|opposite|neighbou?ring|next) (?:plate|one|capacitor)s?|each other",
        r"no\s?where(?! (?:else|but|except))|supply|source|battery|cell|terminals?|through|outside"
        r"|earth|ground|air",
        "Only from the other plate there: what one gains, the other loses.",
        "Nothing else touches that metal: what one plate there gains, the other there loses.",
    ),
    "parallel keeps": FollowUp(
        r"same|equal|identical|alike|as much", r"different|unequal|half|halves|divided|split|less",
        "The same on each.", "Both join the same two points, so it reads the same on each.",
    ),
    "series value": FollowUp(
        RECIPROCALS + "|" + PLACES["{pd}"], CAPACITANCES + "|" + PLACES["{charge}"],
        "The p.d.s add, and with one charge on all so does 1/C.",
        "They share one charge, so it is the p.d.s that add.",
    ),
    "parallel value": FollowUp(
        CAPACITANCES + "|" + PLACES["{charge}"], RECIPROCALS + "|" + PLACES["{pd}"],
        "The charges add, and at one p.d. so does C.",
        "They share one p.d., so it is the charges that add.",
    ),
    "V": FollowUp(r"small\w*|little|less", r"large\w*|big\w*|more", "A small one.",
              "A large one holds more for each volt, so it needs less p.d."),
    "Q": FollowUp(r"doubl\w*|twice", r"halv\w*|half|same", "It would double too.",
              "Twice the p.d. goes with twice the charge."),
    "E": FollowUp(r"half\w*|halv\w*|1/2|½", r"full|all|whole|same", "Half of what it came to.",
              "It began at zero, so on average it was half of what it came to."),
})
ALONG: Final = "Along a chain the charge is the same and the p.d.s add."
BESIDE: Final = "Side by side the p.d. is the same and the charges add."
NO_SIZES: Final[Mapping[str, Value]] = MappingProxyType({})


def item_of(walk: Walk, question: Question, aside: Aside | None) -> FollowUp | None:
    """The item of what has just been asked; None where nothing was, or it has none."""
    if aside is not None:
        names = [name for group in aside.options for name in group]
        return follow_up_of(names[0]) if aside.kind == "ask" and names else None
    quantity, step = question.quantity, question.step
    if question.about in ("shares", "reason") and walk.rung == 2 and not question.going_back:
        return OF_HINTS.get(f"{step_of(question).kind} keeps")
    if quantity is not None and quantity.symbol == "C" and step is not None:
        on_rung = {1: "value", 2: "adds"}.get(walk.rung, "")
        return OF_HINTS.get(f"{step.kind} {on_rung}")
    if walk.rung != 2 or quantity is None or question.about == "check":
        return None
    return None if step is not None and step.kind == "removal" else OF_HINTS.get(quantity.symbol)


def is_heard(walk: Walk, question: Question) -> bool:
    """Whether the small question of a hint is heard by itself, as the answer to it or as one to
    the question in hand, so that it may stand alone.
    """
    if question.about == "choice":
        return not is_stuck(walk) and suggested(walk).joining is not None
    if question.about in ("shares", "reason"):
        return True
    quantity, step = question.quantity, question.step
    is_removal = step is not None and step.joining is None
    return quantity is not None and quantity.symbol in ("C", "V", "Q", "E") and not is_removal


def said_to(item: FollowUp, line: str, sizes: Mapping[str, Value] = NO_SIZES) -> str | None:
    """What is said to a line that answers the item; None for a line that does not. One of the
    capacitors whose ``sizes`` are known is, named alone, the larger or the smaller of them.
    """
    line = _HOW_IT_CAME.sub("", line)
    head = re.split(r"[,;:(]", line)[0]
    told = head if re.search(r"\d", line[len(head):]) else line  # C2, 12 µC for each volt
    text = _by_its_size(told, sizes).lower().replace("’", "'")
    rest = re.sub(rf"1\s*/\s*[c2]|\b[23]\b(?!\s*times)|\*\s*2|x\s*2|{item.right}", "", text)
    if re.search(r"\d", rest) or "=" in text:
        return None
    is_right, is_wrong = _says(item.right, text), _says(item.wrong, text)
    may_deny = item.right.startswith(NO)
    denied = re.search(r"(?:\b(?:not|never)|n't)\b", text) is not None and not may_deny
    if is_right == is_wrong or denied:
        return None
    return f"Yes. {item.yes}" if is_right else item.no


def _by_its_size(line: str, sizes: Mapping[str, Value]) -> str:
    """'The larger' for a line that names the one that is, and no other: c2, 12 to its 8."""
    values = [value for value in sizes.values() if isinstance(value, Fraction)]
    named = _named_in(line, sizes)
    if len(named) != 1 or len(values) < len(sizes) or len(set(values)) < 2:
        return line
    if re.search(r"(?i)\b(?:not|less|more|neither|than)\b|n['’]t\b|=", line):
        return line
    value = sizes[named.pop()]
    return "larger" if value == max(values) else "smaller" if value == min(values) else line


_ORDINALS: Final = ("first", "second", "third", "fourth")


def _named_in(line: str, sizes: Mapping[str, Value]) -> set[str]:
    """The capacitors that a line names: by name, else by place, else by value, as in 'the 6'."""
    named = {name for name in sizes if re.search(rf"(?i)\b{re.escape(name)}\b", line)}
    named = named or {
        name for place, name in zip(_ORDINALS, sizes, strict=False)
        if re.search(rf"(?i)\b{place}\b", line)
    }
    figures = re.findall(r"(?i)\b(?:the|with)\s+(\d+(?:\.\d+)?)(?![\d.])", line)
    return named or {
        name for name, value in sizes.items() for said in figures
        if isinstance(value, Fraction) and _has_figures(value, Fraction(said))
    }


def _has_figures(value: Fraction, said: Fraction) -> bool:
    """Whether a capacitance is that number of farads with some prefix."""
    return any(value * Fraction(10) ** power == said for power in (0, 3, 6, 9, 12))


# Ten thousand (100 rows of 100): in brackets behind an answer stands how it came about.
_HOW_IT_CAME = re.compile(r"(?<=\w)\s*\([^()]*\)\s*[.!]?\s*$")


def _says(words: str, text: str) -> bool:
    return re.search(rf"(?<![a-z0-9])(?:{words})(?![a-z0-9])", text) is not None


_ADDS: Final = r"adds?|adding|added|sums?|summed|total\w*|plus"
_STAYS: Final = r"same|equal|shared|common|constant|one and the same"


def on_what_adds(question: Question, line: str) -> str | None:
    """What is said to words about what adds up or is the same along a chain or side by side, where
    the capacitance of several is asked and a hint or a follow-up has spoken of it.
    """
    step, text = question.step, line.lower()
    if step is None or step.joining is None or question.quantity is None or (
        question.quantity.symbol != "C" or re.search(r"\d", re.sub(r"1\s*/\s*c\b", "", text))
        or "=" in text or re.search(r"\b(?:not|never)\b|n['’]t\b", text)
    ):
        return None
    pd, charge = PLACES["{pd}"], PLACES["{charge}"]
    of_chain = {pd: "adds", RECIPROCALS: "adds", charge: "same", CAPACITANCES: ""}
    of_set = {charge: "adds", CAPACITANCES: "adds", pd: "same", RECIPROCALS: ""}
    is_so = of_chain if step.kind == "series" else of_set
    named = [words for words in is_so if _says(words, text)]
    says = {"adds": _says(_ADDS, text), "same": _says(_STAYS, text)}
    if len(named) != 1 or says["adds"] is says["same"]:
        return None
    said = "adds" if says["adds"] else "same"
    told = ALONG if step.kind == "series" else BESIDE
    return f"Yes. {told}" if is_so[named[0]] == said else told


def _without_names(
    line: str, asked: Quantity, used: Mapping[Quantity, Value | None]
) -> tuple[str, bool | None]:
    """A line without the names of the values used, as in Q = 63, C = 9, and whether each name has
    its value; None for a line without names.
    """
    others = "QC" if asked.symbol == "V" else "CVU"
    label = rf"(?i)\b([{others}])\w{{0,3}}\s*=\s*(?=(\d+(?:\.\d+)?))"
    fits = [
        any(each.symbol == symbol.upper().replace("U", "V") and isinstance(value, Fraction)
            and _has_figures(value, Fraction(figure)) for each, value in used.items())
        for symbol, figure in re.findall(label, line)
    ]
    return re.sub(label, "", line), all(fits) if fits else None


def on_hint_of_values(walk: Walk, question: Question, line: str) -> str | None:
    """What is said to the two values that the first hint about a p.d. or a charge asks for."""
    quantity = question.quantity
    if walk.rung != 1 or quantity is None:
        return None
    if quantity.symbol not in ("V", "Q"):
        return None
    owner = quantity.of or walk.network.capacitors[0].name  # the one that is left is the whole
    relation = by_law(quantity.dimension, owner)
    used = {each: walk.known.get(each, walk.truth.get(each)) for each in used_by(walk, relation)}
    figures, are_named = _without_names(in_figures(line), quantity, used)
    if are_named is False:
        return None
    said = [Fraction(each) for each in _AMOUNT.findall(figures)]
    if are_named and len(said) == 1 < len(used) and not _REASONS_ON.search(figures):
        return "Yes. And the other of the two?"
    right = walk.truth.get(quantity)
    if _REASONS_ON.search(figures) or len(said) != len(used) or (
        isinstance(right, Fraction) and _has_figures(right, said[0])
    ):
        return None
    fits = [
        isinstance(value, Fraction) and any(_has_figures(value, each) for each in said)
        for value in used.values()
    ]
    return "Yes. And what comes of the two?" if all(fits) else None


_AMOUNT: Final = re.compile(r"(?<![\w.])\d+(?:\.\d+)?")
_REASONS_ON: Final = re.compile(r"[=*/×÷+]|\d\s*[-−x]\s*\d|\b(?:so|times|over|by|not|or)\b")


_OF_PLATES: Final = re.compile(
    r"(?i)\b(?:it|can|could|must|have|came?|comes|only|just|from|the|a|plates?|of|and|or|at|on|other"
    r"|either|one|metal|point)\b|[^\w\s]"
)


def on_hint_of_metal(walk: Walk, question: Question, line: str) -> str | None:
    """What is said to the capacitors, or to the point, named as the place that charge came from."""
    if walk.rung != 2 or question.about not in ("shares", "reason") or question.going_back:
        return None
    step, named = step_of(question), {each.upper() for each in _OF_PLATES.sub(" ", line).split()}
    item = OF_HINTS[f"{step.kind} keeps"]
    if step.kind != "series" or not named:
        return None
    if named <= {c.name.upper() for c in step.parts}:
        return f"Yes. {item.yes}"
    is_there = question.about == "shares" and named <= {each.upper() for each in step.points}
    return item.no if is_there else None  # where a reason is asked, a point may be it


_THE_SAME_TWO: Final = re.compile(
    r"(?i)\W*(?:(?:on|between|at|the|exactly|just|also)\s+)*same\s+(?:two|2|ones?|pair|points|as)\b"
    r"(?:\s+(?:points?|ones?|as|of|c_?\d+|it|that|before|the|first|other))*\W*$"
)


def on_hint_of_points(walk: Walk, question: Question, line: str) -> str | None:
    """What is said to the points, or the form, that the first hint about sharing asks for, where a
    line says nothing of what is shared.
    """
    if walk.rung != 1 or question.about not in ("shares", "reason"):
        return None
    step = step_of(question)
    if question.going_back:
        form = {"series": r"one after|in a row|series|chain|line"
                r"|\b(?:end|nose|head|tail)\s+(?:to|on)\s+(?:end|tail|nose|head)\b",
                "parallel": r"same two|same points|parallel|side by side|beside"}
        said = [kind for kind, words in form.items() if _says(words, line.lower())]
        if len(said) != 1:
            return None
        return "Yes, they were." if said == [step.kind] else "Look at the drawing once more."
    second = step.parts[1]
    if _THE_SAME_TWO.match(line):
        return "Yes, those two." if step.kind == "parallel" else (
            f"{second.name} is between {listed((second.start, second.end))}."
        )
    points = points_in(line, walk.network)
    if set(points) == second.points:
        return "Yes, those two."
    between = f"{second.name} is between {listed((second.start, second.end))}."
    if len(points) == 2:
        return between
    if len(points) != 1 or question.about == "reason":  # there a point alone may be the answer
        return None
    return f"{points[0]}, yes: {between}" if points[0] in second.points else between
