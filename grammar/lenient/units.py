"""Numbers with units, as people write them, and as the strict notation does."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

NUMBER: Final = (
    r"(?:10(?:\^|\*\*)\(?-?[0-9]+\)?"
    r"|(?:(?:[0-9]{1,3}(?: [0-9]{3})+(?![0-9]|\s*[a-zA-Z]?[0-9])|[0-9]+)(?:[.,][0-9]+)?|\.[0-9]+)"
    r"(?:e[-+]?[0-9]+|\s*[x*·]\s*10\s*(?:(?:\^|\*\*)\s*\(?[-+]?[0-9]+\)?|-[0-9]+))?)"
)
_PREFIX: Mapping[str, str] = {
    "micro": "u", "mikro": "u", "mico": "u", "micr": "u", "mu": "u", "nano": "n", "pico": "p",
    "milli": "m", "kilo": "k", "mega": "M", "mike": "u", "mikes": "u", "mic": "u", "mics": "u",
    "micros": "u", "nanos": "n", "puff": "p", "puffs": "p", "picos": "p", "centi": "c", "": "",
}  # fmt: skip
_SMALL = "micros|micro|mikro|mikes|mike|micr|mico|mics|mic|nanos|nano|picos|pico|puffs|puff|mu"
_LONG = f"{_SMALL}|milli|kilo|mega"
_FARAD = r"(?:f(?:[dz]?|a?rr?ads?|'?s)|farads?|farad's|fard)"
_METRE = r"m(?:et(?:er|re)s?)?"
# Units after a number, in the order in which they are tried; the prefix is the first group.
_UNITS: tuple[tuple[str, str, int], ...] = (
    ("LEN", rf"(milli|centi|micro|[mcuk])?-?{_METRE}(?![a-zA-Z0-9^])(?!\s*(?:2|\^|sq))", re.I),
    ("AREA", r"([mcu])?m\s*(?:\^\s*)?2(?![0-9])", re.I),
    ("AREA", rf"(?:square|sq\.?)\s*(centi|milli|c|m)?-?{_METRE}(?![a-zA-Z0-9])", re.I),
    ("AREA", rf"(centi|milli|c|m)?-?{_METRE}\s*squared\b", re.I),
    ("CAPV", rf"([pnumµ]{{1,2}}|{_SMALL}|milli)?[- ]?{_FARAD}(?![a-zA-Z0-9])", re.I),
    ("VOLT", r"([mkM]|kilo|milli|mega)?[- ]?v(?:olts?|olt's|dc|s)?(?![a-zA-Z0-9/])", re.I),
    ("CHG", rf"([pnum]|{_LONG})[- ]?(?:c|coulombs?|coul)(?![a-zA-Z0-9])", re.I),
    ("CHG", r"()coul(?:omb)?s?(?![a-zA-Z0-9])", re.I),
    ("ENE", r"([pnumk]|milli|micro|kilo|nano)?[- ]?(?:j|joules?)(?![a-zA-Z0-9])", re.I),
    ("OHM", r"(?:[kKM]|kilo|mega)?-?\s?ohms?(?![a-zA-Z])|[kKM]?R(?![a-zA-Z])|[kK](?![a-zA-Z])", 0),
    ("HZ", r"[kMG]?[Hh]z(?![a-zA-Z])|hertz", 0),
    ("SEC", r"(?:[mun]?s|secs?|seconds?|minutes?|mins?|hours?)(?![a-zA-Z0-9])", re.I),
    ("HENRY", r"(?:[mun]?H|(?:milli)?henr(?:y|ies|ys))(?![a-zA-Z])", 0),
    ("AMP", r"(?:[mu]?A|amps?|amperes?)(?![a-zA-Z])", 0),
    ("PCT", r"%|per\s?cent\b", 0),
    ("CAPV", rf"({_SMALL})(?![a-zA-Z0-9])", re.I),
)  # fmt: skip
_AFTER_A_NUMBER = tuple(
    (tag, re.compile(rf" ?-? ?(?:{pattern})", flags)) for tag, pattern, flags in _UNITS
)
# A unit by itself, as in all in nF.
_ALONE = re.compile(
    rf"(?:(?P<cap>[pnuµ]|{_SMALL})[- ]?{_FARAD}|(?P<short>micro|nano|pico)s?)(?![a-zA-Z0-9])", re.I
)


def unit_after(text: str, at: int, typed: str) -> tuple[str, str, int] | None:
    """The kind, the strict text and the end of the quantity whose number ends here."""
    for tag, pattern in _AFTER_A_NUMBER:
        unit = pattern.match(text, at)
        if unit:
            return tag, _in_units(tag, typed, unit), unit.end()
    return None


def unit_alone(text: str, at: int) -> tuple[str, int] | None:
    """A unit of capacitance without a number, in the strict notation, and where it ends."""
    match = _ALONE.match(text, at)
    if match is None:
        return None
    prefix = (match["cap"] or match["short"]).lower()
    return f"{_PREFIX.get(prefix, prefix).replace('µ', 'u')}F", match.end()


def tidy(number: str) -> str:
    """A number as the strict notation takes it."""
    number = re.sub(r"^10(?:\^|\*\*)\(?(-?[0-9]+)\)?$", r"1e\1", number)
    number = re.sub(r"\s*[x*·]\s*10\s*(?:\^|\*\*)?\s*\(?([-+]?[0-9]+)\)?", r"e\1", number)
    return number.replace(",", ".") if re.fullmatch(r"[0-9]+,[0-9]+(?:e.*)?", number) else number


def _in_units(tag: str, typed: str, unit: re.Match[str]) -> str:
    """The quantity as the strict notation writes it."""
    if tag not in ("CAPV", "VOLT", "CHG", "ENE", "LEN", "AREA"):
        return typed
    prefix = unit[1] or ""
    prefix = _PREFIX.get(prefix.lower(), prefix)
    if tag == "CAPV":
        if re.search(r"(?i)m-?\s?fd$", unit[0]):
            prefix = "uu" if len(prefix) > 1 else "u"  # the old shop mark for microfarad
        prefix = {"µ": "u", "uu": "p", "mm": "p"}.get(prefix, prefix.lower())
        return f"{typed} {prefix}F"
    if tag == "VOLT":
        return f"{typed} {'k' if prefix == 'K' else prefix}V"
    ending = {"CHG": "C", "ENE": "J", "LEN": "m", "AREA": "m2"}[tag]
    return f"{typed} {prefix.lower()}{ending}"
