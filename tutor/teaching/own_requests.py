"""Requests in own words: let us stop here, the bus is coming; start this one over.

A wish is a clause of its own: words of wishing, a verb, what it is wished for, and words of time or
of courtesy, with nothing else in it. The other clauses of the line say why, and nothing of what is
asked.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from tutor.teaching.act_signs import FILLER
from tutor.teaching.asked_by_words import AskedFor, asked_by_words
from tutor.teaching.enquiry.small_talk import ON_THE_MATTER
from tutor.teaching.hearing import Request
from tutor.teaching.reading.spoken_words import meanings_of

MOST_WORDS: Final = 14
_WISHING = (
    r"(?:(?:so|and|but|ok|okay|well|oh|no|hm+|u+h+m*|right|now|then|just|please|pls|sorry|actually"
    r"|maybe|lets|let us|let me|can|could|may|might|would|will|shall|should|must|better|do|you|u"
    r"|i|we|am|are|want|wanna|need|needs|like|rather|have|has|got|gotta|to|think|going|gonna|time"
    r"|for me|me|us|go ahead and)\b ?)*"
)
_ONE = (
    r"(?:(?:the|a|an|my|our|your|this|that|it|all|of|one|some|another|last|whole|thing|more)\b ?)*"
)
_PROBLEM = (
    rf"{_ONE}(?:(?:problem|network|circuit|exercise|task|question|walk|everything)\b ?)?(?:with )?"
)
_END = (
    r"(?: ?\b(?:here|there|now|then|today|tonight|for (?:now|today|me|this(?: one)?|it)|please|pls"
    r"|plz|thanks|thx|ty|cheers|again|once more|one more time|at this point|so far|already|at once"
    r"|a bit|home|of it|tomorrow|later|soon|tonight|tmrw|tmr|(?:in|till|until) the morning"
    r"|(?:and )?(?:i|i will|ill|we|to be)? ?(?:continued?|go on|carry on|finish|do the rest)"
    r"(?: it)?))*"
)
_FROM = r"(?:from|at) (?:the )?(?:very )?(?:start|beginning|top|scratch|zero|first \w+)"
_FOUND = (
    r"(?: ?\b(?:that|which|i|we|you|have|has|had|got|found|know|knew|known|is|are|worked out|so far"
    r"|up to now|(?:un)?til now|already|done|calculated|here|of|the|it|until here))*"
)
_SAY = (
    r"(?:say|write|show|list|give|tell|print|put|read|remind|repeat|recap|see|get)\b"
    r"(?: (?:me|us|down|up|out|of))*"
)
_WISHES: Mapping[Request, str] = MappingProxyType({
    "stop": (
        r"(?:stop|quit|pause|exit|leave|finish|end|log off|pack up|(?:take )?a break|be off"
        rf"|call it (?:a day|quits)|go(?= home| now| soon|$)){_END}(?: (?:it|this|that){_END})?"
        r"|(?:off|leaving|out)(?: now| home| for today)?|done for (?:today|now)"
        r"|(?:that is |it is )?(?:enough|all|it) for (?:today|now|me|tonight)"
        r"|see (?:you|ya|u)(?: \w+)?|(?:bye|goodbye|good ?night|cheerio)(?: \w+)*"
    ),
    "restart": (
        r"(?:(?:wipe|clear|scrap|drop|delete) (?:it|this|that|all|everything) (?:and|then) )?"
        rf"(?:start|begin|do|try|go|work|take|redo|repeat|run) (?:again )?{_PROBLEM}"
        rf"(?:again |over )?(?:{_FROM}|over|anew|a?fresh)(?: again)?"
        rf"|(?:start|begin|redo) {_PROBLEM}again"
        r"|(?:take |bring |go )?(?:me )?back to (?:the )?(?:very )?(?:start|beginning|first \w+)"
        rf"(?: of {_PROBLEM})?"
    ),
    "where": (
        rf"(?:{_SAY} )?(?:(?:a|the|all|my|our|of|every) ?)*"
        rf"(?:values?|numbers|results?|givens?|data|everything|summary|overview|recap){_FOUND}"
        rf"|(?:{_SAY} )?(?:all )?(?:what|which (?:values|numbers)){_FOUND}"
        r" ?(?:so far|know|known|found|got|now|have)"
    ),
    "show": (
        rf"(?:tell|show|give) (?:me |us )?{_ONE}"
        r"(?:answer|solution|result|step|it|this|that|one)\b(?: (?:is|to it))?"
        r"|show (?:me |us )?(?:please )?how (?:(?:the|this|that|it|one|to|you|we|i)\b ?)*"
        r"(?:\w+ )?(?:goes|done|works?|worked out|comes out|found|do(?:es)?)(?: (?:it|this|that))?"
        r"|(?:give up|surrender|capitulate)(?: \w+){0,7}"
    ),
    "undo": (
        r"(?:undo|(?:take|bring)(?: me)? back|cancel|withdraw|go back|step back"
        r"|(?:take|bring|put)(?: (?:that|this|it|my|the|last|answer|one|step|line|what|i|said))+"
        r" back)"
        r"(?: (?:my|the|one|a|last|that|this|what|i|just|said|typed|wrote|answer|step|line|to"
        r"|question|previous|before|one|earlier|it|bit|entry|number|value|two|three|once|twice))*"
        r"|(?:redo|get|see|ask|try|give|have|return to|go to)(?: me)? (?:the|my|that) "
        r"(?:previous|preceding|earlier) (?:question|one|step|answer)"
    ),
    "hint": (
        rf"(?:give (?:me )?)?{_ONE}"
        r"(?:(?:little|small|tiny|bit(?: of)?|more|of|an?|further|bigger|better|extra) )*"
        r"(?:hint|clue|tip|push|nudge|pointer|(?<=of )help)"
        r"(?: (?:in|the|right|direction|with|on|this|that|it))*"
        r"|(?:start|get) (?:me|us) (?:off|started|going)(?: and \w+(?: \w+){0,5})?"
        r"|(?:help (?:me|us)|(?:give|lend) (?:me |us )?a hand)"
        r"(?: (?:out|with|on|this|that|it|one|a|little|bit|some))*"
    ),
    "points": (
        rf"{_SAY} (?:(?:the|this|that|whole|given|my|our) )*"
        r"(?:situation|set ?-?up|story|problem|task|exercise|circuit|network|text|givens)"
        r"(?=(?: (?:at|to) the (?:start|beginning))? (?:again|once more|one more))"
        r"(?: (?:at|to) the (?:start|beginning))?"
    ),
    "drawing": (
        rf"(?:draw|sketch)(?: (?:me|us))? {_PROBLEM}"
        r"|(?:draw|sketch)(?! (?:more|less|charge|current|energy|from)\b)"
        r"(?: (?!charges?\b|p\.?d|volt|energy|current)\w+){1,8}"
        r"|(?:draw|show|see|look|have|put up|give|make|print)(?: (?:me|us|at))* "
        rf"{_ONE}(?:picture|drawing|diagram|sketch)(?: (?:with|of|without|for)(?: \w+){{1,6}})?"
    ),
    "repeat": (
        r"repeat(?: (?:me|it|that|this|the|your|last|question))*"
        r"|(?:say|ask|read|see|show|hear)(?: me)? (?:(?:it|that|this|the|your|last|question) ?)*"
        r"(?=again|once more|one more)"
    ),
})
_READ: Mapping[Request, re.Pattern[str]] = MappingProxyType({
    request: re.compile(rf"(?P<wishing>{_WISHING}) ?(?:{wish}){_END}")
    for request, wish in _WISHES.items()
})
# Words that are as good for an answer: only words of wishing before them make them a request.
_ONLY_WISHED = re.compile(
    r"(?:go(?! back)|leave|off|done|out|end|finish|values?|numbers|results?|data|everything)\b"
)


def wish_in(text: str) -> AskedFor | None:
    """The request that a line without figures makes in own words; it comes in small letters, with
    contractions in full.
    """
    text = re.sub(r"\bw/o\b", "without", text)
    if len(text.split()) > MOST_WORDS:
        return None
    clauses = [each.strip() for each in re.split(r"[,.!?;]| - ", text) if each.strip()]
    clauses = [each for each in clauses if not re.fullmatch(FILLER, each)]  # hold on, …
    for at, clause in enumerate(clauses):
        others = [word for n, each in enumerate(clauses) if n != at for word in each.split()]
        if any(meanings_of(word) & ON_THE_MATTER for word in others):
            continue
        if (request := _wish(clause)) is not None:
            return request
    return None


def _wish(clause: str) -> AskedFor | None:
    for request, pattern in _READ.items():
        found = pattern.fullmatch(clause)
        if found is None:
            continue
        rest = clause[found.end("wishing"):].strip()
        if rest and (found["wishing"].strip() or not _ONLY_WISHED.match(rest)):
            return request
    return asked_by_words(clause)
