"""What a capacitor bears, and what may be put on all of them, said in other words."""

from __future__ import annotations

import re
from typing import Final

_VOLTS: Final = r"(?P<volts>[0-9.]+ ?k?V(?:olts?)?)\b"
_BEARS: Final = re.compile(
    r"(?i)(?:(?:,? (?:which|that|and))? (?:may|can|could|must|should|will|is allowed to"
    r"|is good for)"
    r"(?: only)?(?: safely)?(?: (?:have|take|bear|see|carry|get|withstand|stand|survive|tolerate"
    r"|endure|be (?:charged|given|put on"
    r"|used at)))?"
    r"(?: to)?|,? (?:with |of |for )?(?:which )?(?:the |a |its )?(?:safe )?(?:limit|maximum|max\.?)"
    r"(?: (?:is|of|being))?(?: at)?|,?(?: up to)?)"
    rf"(?: (?:at (?:the )?most|no more than|not more than|a maximum of))? ?{_VOLTS}"
    r"(?: (?:at most|max(?:imum)?|across it|on it))*"
)
_LIMITED: Final = re.compile(
    r"(?i)safely|at (?:the )?most|(?:no|not) more than|limit|max(?:imum)?\b|is good for"
)
_ASKS_FOR_IT: Final = re.compile(
    r"(?i)\bmax\b|\bmaximum|\b(?:greatest|highest|largest|most)\b|\bhow many volts (?:dare|may"
    r"|can)\b"
)
_APPLIED: Final = (
    r"(?: (?:to|on|across|over))?(?: (?:the|them|it|both|two|these|this|all)\b(?: \w+)?)?"
)
_MOST: Final = re.compile(
    r"(?i)(?:(?:what(?: is|'s)?|find|calculate|determine|deduce) )?(?:the )?\b(?:greatest|highest"
    r"|largest|maximum) (?:voltage|p\.?d\.?|potential difference|tension) (?:that|which) (?:may|can"
    rf"|could) (?:safely )?be (?:safely )?(?:applied|put){_APPLIED}|(?:^|(?<=[.\n;] )|(?<=\n))"
    rf"max\.? (?:total|overall) (?:voltage|volts)"
    r"|how (?:many volts|much voltage) (?:dare|may|can|could) (?:i|we|you|one) (?:put|have"
    r"|apply|hang)"
    rf"{_APPLIED}"
)
# What is written on a capacitor in volts is what it bears.
_MARKED: Final = re.compile(
    r"(?i)(?P<cap>[0-9] ?(?:[unp]?F|[unp]|\w+farads?)\b(?: (?:capacitor|condenser|cap|one)s?)?),?"
    r" (?:which is |that is |is |are |each )*(?:marked|stamped|labell?ed|printed)"
    r"(?: (?:for|at|with|as))? (?=[0-9.]+ ?k?V\b)"
)
# What may be put on capacitors that are told with what they bear.
_BEARING: Final = re.compile(r"(?i)\brated\b|[0-9] ?[unp]?F? ?[/ ] ?[0-9.]+ ?V\b")
_MAY_BE_PUT: Final = re.compile(
    r"(?i)\bwhat(?:'s| is) the (?:max|most)(?:imum)?(?: (?:voltage|volts"
    r"|p\.?d\.?))? (?:that )?(?:i|we"
    rf"|you|one) (?:can|may|dare)(?: safely)? (?:put|apply|hang){_APPLIED}"
    r"|\b(?:what|how much|how many volts) (?:can|may|could|dare) (?:(?:i|we|you|one) (?:safely )?"
    r"(?:put|apply|hang|connect)|(?:safely )?be (?:put|applied)|(?:the (?:pair|two|string|chain"
    r"|stack"
    r"|lot|whole \w+)|they|it) (?:take|bear|stand|withstand|handle))(?: (?:at most|safely))?"
    rf"{_APPLIED}(?: at most)?"
    r"|\b(?:greatest|highest|largest|maximum|max\.?) (?:voltage|volts|p\.?d\.?) (?:before|until)"
    r" (?:something|one(?: of them)?|either|any(?: of them)?|it|they|a cap(?:acitor)?) (?:\w+)"
    r"(?: (?:down|up|out))?(?=\s*(?:[?.]|$))"
    r"|\b(?:greatest|highest|largest|maximum|max)(?: safe| allowed| permissible)? (?:voltage|volts"
    r"|p\.?d\.?) (?:on|across|over) (?:both|them|the (?:pair|two|lot)|all)\b"
)
# What it must not be used above.
_NOT_ABOVE: Final = re.compile(
    r"(?i),? (?:which|that|and)? ?(?:must|may|can|should|is|are) ?(?:not|never) (?:to )?(?:be )?"
    r"(?:used|charged|taken|put|connected|worked|operated|driven|go|have)?,? ?(?:above|beyond|over"
    rf"|past|to more than|more than|at more than|on more than) {_VOLTS}(?: across it)?"
)
# Two values and then what each of them bears.
_WORTH: Final = r"[0-9.]+ ?[unp]F\b"
_EACH_BEARS: Final = re.compile(
    rf"(?i)(?P<one>{_WORTH})(?P<and> and (?:an? |(?:the )?C_?\w{{1,2}}(?: ?[=:,]| is| of)* ?)?)"
    rf"(?P<other>{_WORTH})(?P<cap> (?:capacitor|condenser|cap)s?)?,?"
    r" (?:(?:which|that|they|and|are|is|have|has|with|for|of) )*"
    r"(?:rated|(?:(?:rated|working|safe|maximum|breakdown) )?(?:ratings?|limits?)"
    r"|(?:rated|working|safe|maximum|breakdown) voltages?"
    r"|(?:can|may|could|are able to)(?: only| safely)* (?:(?:with)?stand|bear|tolerate|take)"
    r"|withstand|tolerate)(?: (?:at|for|of|to|up|only|voltages?|are))*"
    r" (?P<volts>[0-9.]+(?: ?k?V)?) and (?P<others>[0-9.]+ ?k?V)\b(?:,? respectively)?,?"
    r"(?: and (?=connected|joined|placed|put|wired))?"
)
# Two of which both are told with what they bear: the number says nothing more.
_BOTH_TOLD: Final = re.compile(
    r"(?i)\b(?:the )?(?:two|2) (?:capacitors|condensers|caps),? (?:(?:of|with|one|a|is|has) )*"
    rf"(?={_WORTH}(?: \w+)? rated [0-9.]+ ?k?V and (?:(?:an?|one|the other|of) )*{_WORTH}"
    r"(?: \w+)? rated )"
)


def _with_its_own(said: re.Match[str]) -> str:
    unit = "" if said["volts"].lower().endswith("v") else re.sub("[0-9.]", "", said["others"])
    return (
        f"{said['one']} rated {said['volts']}{unit}{said['and']}{said['other']}{said['cap'] or ''}"
        f" rated {said['others']}"
    )


def with_limits_told(text: str) -> str:
    """The text with each limit as a rating, where it has two of them and asks for the greatest
    p.d. of all.
    """
    text = _NOT_ABOVE.sub(r" rated \g<volts>", text)
    text = _BOTH_TOLD.sub("", _EACH_BEARS.sub(_with_its_own, text))
    text = _MARKED.sub(r"\g<cap> rated ", text)
    if _BEARING.search(text):
        text = _MAY_BE_PUT.sub("what is the maximum voltage", text, count=1)
    told = [each for each in _BEARS.finditer(text) if _LIMITED.search(each[0])]
    if len(told) >= 2 and _ASKS_FOR_IT.search(text) and "rated" not in text:
        text = _BEARS.sub(
            lambda each: f" rated {each['volts']}" if _LIMITED.search(each[0]) else each[0], text
        )
    text = _MOST.sub("what is the maximum voltage", text, count=1)
    return re.sub(r"(what is the maximum voltage)\.?(?=\s*(?:\n|$))", r"\1?", text)
