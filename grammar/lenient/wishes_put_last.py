"""A question that tells of the network as well, put as what it tells and, after that, what it asks:
the charge on the 5 uF when a 5 uF and a 10 uF are …, what p.d. puts 20 V across the 3 uF if ….
"""

from __future__ import annotations

import re
from typing import Final

from grammar.lenient.way_words import AMOUNT

_BEGINS: Final = r"(?i)(?:(?<=^)|(?<=[.;?!\n] ))"
_IF: Final = r",? (?:when|if|where|in a circuit (?:where|in which)|given that|supposing|once|after)"
_ENDS: Final = r"\s*(?:[?!]|\.(?![0-9])|$)"
_VALUE: Final = r"[0-9.]+ ?[unp]F"
_NAMED: Final = rf"C(?!__)_?+\w{{1,3}}\b(?: ?\(?=? ?{_VALUE}\)?)?"
_WORTH: Final = rf"(?:an? |the )?(?:{_NAMED}|{_VALUE})(?:-| )?"
_ONE: Final = rf"{_WORTH}(?: ?(?:capacitor|cap|condenser|one))?"
_PD: Final = r"(?:voltage|p\.? ?d\.?|potential difference|tension|e\.?m\.?f\.?)"
_WISH: Final = (
    r"(?P<wish>(?:what|find|calculate|determine|work out|how (?:much|big|large|many)|which|give"
    r"|tell me)\b[^.;?!]*?"
)
# A wish that names one of which the same sentence tells after it.
_OF_ONE_TOLD: Final = re.compile(
    rf"{_BEGINS}{_WISH}\bthe (?P<value>{_VALUE})[^.;?!]*?){_IF} "
    rf"(?P<told>[^;?!\n]*?\b(?P=value)\b[^;?!\n]*?){_ENDS}"
)
# One that tells what the whole comes to.
_OF_THE_WHOLE: Final = re.compile(
    rf"{_BEGINS}{_WISH}){_IF} (?P<told>(?:the|their|its|both|they|it) (?:whole|total|combin\w+|pair"
    rf"|two|result|combined|equivalent|effective|overall)?[^.;?!]*?{_VALUE}){_ENDS}"
)
# A wish ahead that names one of which the sentences after it tell.
_OF_ONE_AHEAD: Final = re.compile(
    rf"(?is)^\s*(?P<wish>(?:[a-z']+[,:]? ){{0,6}}?(?:charge|energy|{_PD}|volts)"
    rf" (?:stored )?(?:on|in|across|over|of) the (?P<value>{AMOUNT})"
    r"(?:[- ](?:capacitor|cap|condenser|one))?)\s*[.?]\s+(?P<told>(?!the (?P=value)).*?\S)\s*$"
)
# What is seen between two points of which the same sentence tells after it.
_TWO: Final = r"(?:between|across|from) (?:(?:the )?(?:points|terminals|nodes|ends) )?"
_BETWEEN_TWO: Final = re.compile(
    rf"{_BEGINS}{_WISH}\b{_TWO}[A-Za-z] (?:and|to) [A-Za-z]){_IF} "
    rf"(?P<told>(?=[^;?!\n]*\b{_TWO}[A-Za-z] (?:and|to) [A-Za-z]\b)[^;?!\n]*?){_ENDS}"
)
# What p.d. of all leaves so much on one.
_SHARE: Final = re.compile(
    rf"{_BEGINS}(?:what|which|how (?:large|big|high) (?:must|should)) (?:the |total |overall "
    rf"|supply |source |battery )*(?:{_PD}|supply|battery|source|cell) (?:(?:of the"
    r" (?:source|supply|battery)|must|should|does it take|is needed|has|will|would|be"
    r"|to|in order|so as) )*"
    r"(?:puts?|gives?|leaves?|makes?|produces?|gets?|drops?|places?) (?P<volts>[0-9.]+ ?k?V)"
    rf"(?: (?:across|on|over|to) )(?P<one>{_ONE})(?:{_IF} (?P<told>[^;?!\n]*?))?{_ENDS}"
)
_COMPARED: Final = re.compile(
    rf"{_BEGINS}how (?:does|do|will|would|did) (?:the )?(?P<what>charge|energy|{_PD})s?"
    rf" (?:in|on|of|across|over) (?P<one>{_ONE}) compare (?:with|to)"
    r" (?:the one|that|those|the same|the (?:charge|energy|voltage|p\.? ?d\.?))?"
    rf" ?(?:in|on|of|across|over) (?P<other>{_ONE})(?:{_IF}"
    r" (?:both(?: of them)?|they|the two|these)(?P<told>[^;?!\n]*?))?" + _ENDS
)
_WHATS: Final = (
    ("charge", "charges?"),
    ("energy", "energ(?:y|ies)"),
    ("voltage", r"(?:voltages?|potential differences?|p\.? ?d\.?'?s?|tensions?)"),
)
_COMPARE: Final = re.compile(
    rf"{_BEGINS}(?:compare|how do) the (?P<what>\w+(?: differences?)?) (?:in|on|of|across|over)"
    rf" (?P<both>{_ONE} (?:and|with) {_ONE})(?: compare)?(?:{_IF}"
    r" (?:both(?: of them)?|they|the two|these))?(?P<told>[^;?!\n]*?)" + _ENDS
)


# Which of two has more, where it is said after that how they are joined.
_MORE: Final = re.compile(
    rf"{_BEGINS}(?:does|do|will|would) (?P<one>{_ONE}) or (?P<other>{_ONE}) (?:get|have|hold|take"
    r"|carry|store|see)s? (?:more|less|most|the (?:larger|greater|smaller|higher)) (?:of the )?"
    rf"(?P<what>charge|energy|{_PD}|volts?|(?P<volts>[0-9.]+ ?k?V(?:olts?)?))(?:{_IF}"
    r" (?:both(?: of them)?|they|the two|these)(?P<told>[^;?!\n]*?))?"
    r"(?:,? and how much(?: is it)?)?" + _ENDS
)
# What one of several has, told before how these are joined.
_LISTED: Final = rf"(?:{_WORTH}|[0-9.]+)(?:,? (?:and )?(?:{_WORTH}|[0-9.]+))+"
_OF_SEVERAL: Final = re.compile(
    rf"{_BEGINS}(?:if |when )?the (?P<one>{_VALUE}|middle one|first(?: one)?"
    rf"|last(?: one)?) (?:of|in)"
    r" (?:an? |the |two |three |four )*(?:(?P<row>chain|row|string|(?:series|capacitors in (?:a row"
    r"|series))(?: chain| pair| row| group)?)|(?:parallel|capacitors in parallel)(?: pair| group"
    rf"| set)?)(?: of)?[,:]? (?P<list>{_LISTED}),? (?:has|have|gets?|holds?|carries|sees"
    rf"|shows) (?:a"
    r" (?:charge|voltage|p\.? ?d\.?) of )?(?P<amount>[0-9.]+ ?(?P<unit>k?V|[unpm]C)\b)"
    r"(?: (?:on|across|over) it)?[,.]?"
)


def _of_several(said: re.Match[str]) -> str:
    way = "series" if said["row"] else "parallel"
    what = "voltage across" if said["unit"].endswith("V") else "charge on"
    told = f"Capacitors of {said['list']} are in {way}."
    return f"{told} The {what} the {said['one']} is {said['amount']}."


def _with_more(said: re.Match[str]) -> str:
    """The p.d., the charge or the energy of both tells which has more."""
    supply = f"The supply is {said['volts']}. " if said["volts"] else ""
    what = said["what"].lower()
    what = what if what in ("charge", "energy") else "voltage"
    both = f"{said['one']} and {said['other']}"
    if not said["told"]:
        return f"{supply}What is the {what} of {said['one']} and of {said['other']}?"
    both = re.sub("(?i)the (?=[0-9])", "a ", both)
    return f"{both}{said['told']}. {supply}What is the {what} of each capacitor?"


def with_wishes_put_last(text: str) -> str:
    """The text with what such a question tells before what it asks."""
    text = _MORE.sub(_with_more, _OF_SEVERAL.sub(_of_several, _COMPARE.sub(_of_each, text)))
    text = _COMPARED.sub(_compared, _SHARE.sub(_shared, text))
    text = _OF_ONE_AHEAD.sub(lambda said: said[0] if _is_the(said) else _turned(said), text)
    text = _OF_ONE_TOLD.sub(lambda said: said[0] if _is_the(said) else _turned(said), text)
    return _OF_THE_WHOLE.sub(_turned, _BETWEEN_TWO.sub(_turned, text))


def _turned(said: re.Match[str]) -> str:
    stop = "" if said["told"][-1] in ".?!" else "."
    return f"{said['told']}{stop} {said['wish']}?"


def _is_the(said: re.Match[str]) -> bool:
    """Whether what is told is of one that was told of before."""
    one = re.escape(said["value"])
    if re.search(rf"(?i)\bthe {one}", said["told"]) is not None:
        return True
    return re.search(rf"(?i)(?<![0-9.]){one}", said["told"]) is None


def _shared(said: re.Match[str]) -> str:
    """The network first, in which it may stand for the one that has so much."""
    one = re.sub(r"(?i)^(?:an? |the )(?=[0-9])", "", said["one"])
    the, a = (f"{article} {one}" if one[0].isdigit() else one for article in ("the", "a"))
    told = re.sub(r"(?i)^(?:it|this|that(?: one)?)\b", a, said["told"] or "")
    given = f"The voltage across {the} is {said['volts']}. What is the total voltage?"
    return f"{told}. {given}" if told else given


def _of_each(said: re.Match[str]) -> str:
    told = said["what"].lower()
    what = next((what for what, pattern in _WHATS if re.fullmatch(pattern, told)), "")
    if not what or not said["told"].strip():
        return said[0]
    return f"{said['both']}{said['told']}. What is the {what} of each capacitor?"


def _compared(said: re.Match[str]) -> str:
    wish = f"What is the {said['what']} of each capacitor?"
    if not said["told"]:
        return f"What is the {said['what']} of {said['one']} and of {said['other']}?"
    return f"{said['one']} and {said['other']}{said['told']}. {wish}"
