"""Names of rooms: two plain words that can be called across a classroom and typed on a phone."""

from __future__ import annotations

from collections.abc import Callable, Sequence

FIRST = (
    "amber ample apple autumn azure basic beige birch bold brave brief bright brisk broad bronze "
    "calm cherry chilly clean clear clever cloudy coastal copper coral cosy cotton crisp curly "
    "daily dapper deep dotted double downy dry eager early eastern easy elder evening fair fancy "
    "fern fine firm flat fleet fluffy foggy fresh frosty gentle giant ginger glad glassy golden "
    "good grand grassy great green grey happy hasty hazel hearty hidden hilly honest humble icy "
    "inky ivory jolly keen kind large latest lemon level light lilac linen little lively local "
    "long loyal lucky lunar maple marble mellow mighty mild minty misty modest mossy"
)
SECOND = (
    "acorn anchor anvil apron arrow badge barn basket beach beacon bell bench bicycle boat book "
    "boot bottle bridge brook brush bucket button cabin camel candle canoe carpet castle chalk "
    "cherry circle clock cloud coast comet compass corner cottage cousin cradle cup curtain desk "
    "dolphin door drum eagle engine feather fiddle field finch flag flute forest fountain fox "
    "garden gate glove goose hammer harbour hat hedge heron hill island jacket jar kettle key "
    "kite ladder lake lamp lantern leaf letter lion lobby magnet map market meadow mill mirror "
    "mitten moon mountain needle oak ocean orchard otter owl paddle"
)


def room_name(choose: Callable[[Sequence[str]], str]) -> str:
    """A name by chance, as in 'amber kettle'."""
    return f"{choose(FIRST.split())} {choose(SECOND.split())}"


def is_room(typed: str, room: str) -> bool:
    """Whether what was typed is the name of the room: case, spaces and signs do not count."""
    return bool(room) and _letters(typed) == _letters(room)


def _letters(text: str) -> str:
    return "".join(each for each in text.casefold() if each.isalnum())
