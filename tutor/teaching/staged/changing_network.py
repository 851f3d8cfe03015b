"""The question about one capacitor in a network: its charge now, or its p.d. if that stayed."""

from __future__ import annotations

from tutor.circuit.network import Capacitor
from tutor.circuit.switching import Switched
from tutor.circuit.values import same, size_of
from tutor.teaching.speech import listed
from tutor.teaching.staged.changing_scene import Scene
from tutor.teaching.staged.story import Ask, Way


def charge_ask(
    c: Capacitor, outcome: Switched, scene: Scene, said: tuple[list[str], str], way: Way
) -> Ask:
    """``said`` are the lines of the worked answer and why it is so; ``way`` leads to the charge."""
    lines, why = said
    difference = scene.speech.terms.difference
    q = scene.name("Q", c.name)
    before, now = (size_of(state.charges[c.name]) for state in (outcome.carried, outcome.after))
    if same(before, now):
        v = scene.name("V", c.name)
        voltage = size_of(outcome.after.voltage(c.name))
        return Ask(
            "kept charge", "voltage",
            f"The charge of {c.name} is as before. What is its {difference} {v} now?",
            "\n".join(lines), why, name=v, dimension="voltage", right=voltage,
            hints=(f"Look at the charge of {c.name}, and at its capacitance now.",
                   f"What {difference} goes with that charge?", f"{v} = {q}/{c.name}"),
            facts={"kept": scene.usual(size_of(outcome.before.voltage(c.name)), "voltage")},
            told={**scene.told, "name": c.name},
            ways=(Way(
                f"{q}/{c.name}", {q: (now, "charge"), c.name: (c.value, "capacitance")},
                worked=(q,),
            ),),
        )
    return Ask(
        "network charge", "charge",
        f"What charge {q} does {c.name} hold now?",
        "\n".join(lines), why, name=q, dimension="charge", right=now,
        hints=(
            f"Look at the points {listed(sorted((c.start, c.end)))} of {c.name}, and at what else "
            "has a plate there.",
            "Which capacitors must carry one charge, and which share one "
            f"{difference}?",
            f"{q} = {c.name} × {scene.name('V', c.name)}",
        ),
        told={**scene.told, "name": c.name}, ways=(way,),
    )
