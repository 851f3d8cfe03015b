"""Capacitors that stand apart, each between two points of its own, until a join."""

from __future__ import annotations

from grammar.records import Element, Join


def plates_of(name: str) -> tuple[str, str]:
    """The points that the plates of a capacitor standing apart are, the + plate first.

    No text can name such a point: a + or - is no part of a name.
    """
    return (f"{name}+", f"{name}-")


def put_apart(capacitor: Element) -> Join:
    """The capacitor between two points of its own."""
    return Join(capacitor, *plates_of(capacitor.name))


def stands_apart(join: Join) -> bool:
    """Whether the capacitor was written without points, to be joined later."""
    return (join.start, join.end) == plates_of(join.capacitor.name)
