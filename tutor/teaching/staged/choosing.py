"""Which of the answers on offer a line names: by its letter, in words, or as an order."""

from __future__ import annotations

import re
from collections.abc import Sequence
from types import MappingProxyType

from grammar.quantity import UNIT_SIGN
from tutor.teaching.hearing import plain, without_pointing, yes_or_no
from tutor.teaching.reading.because_words import BECAUSE_OR_AS, WORDS
from tutor.teaching.reading.menu_choice import ONE_OF_THEM, gist_in, option_in, place_in
from tutor.teaching.staged.orders_said import levels_in
from tutor.teaching.staged.story import LESS, MORE, SAME, Ask, Option, Telling

LETTERS = "abcdefgh"
MICRO = re.compile("[µμ]")  # an ordinary keyboard has neither
_MENDED = re.compile(
    r"(?i)\b(?:or|no(?!\s+(?!wait|sorry|it|thats?|its)\w)|wait|maybe|sorry|oops)\b"
)
_ALL_OR_NONE = re.compile(
    r"(?i)\W*(?:i\s+think\s+)?(?:both|neither|nothing|all|none|either|everything)\b"
    r"(?:\W+(?:of|them|it|that|at|all|is|are|do|does))*\W*"
)
_NOT_WORD = re.compile(r"not?\b")
_NOT = (
    r"\b(?:not|never|cannot|neither|nor|(?:is|are|was|were|ca|wo|would|could|should|do|does|did)nt)"
    r"(?: (?:be|stay|remain|become|get|go|really|necessarily|the|a|an|it|all))* "
)
# Who describes it has not said which it is: whichever has the lowest, the one that stays.
_DESCRIBES = re.compile(
    r"(?i)\W*(?:(?:well|it['’]?s|just|i\s+think|probably)\s+)*(?:whichever|whatever|whoever"
    r"|the\s+(?:one|thing|cap\w*)\s+(?:that|which|with|whose|who|what|nobody|no\s*one|on|in|of)"
    r"|the\s+\w+(?:er|est)\s+one|(?:it|that|this)\s+(?:stays?|remains?|keeps?|is\s+(?:kept|fixed"
    r"|conserved|constant)))\b"
)
_NUMBERED = re.compile(r"(?i)\b(?:number|option|entry|choice|answer)\s+\d\b")
_LETTER = re.compile(r"(?:(?:option|answer|letter|entry|choice|line|statement|list) )?([a-h])")


def is_lettered(ask: Ask) -> bool:
    """Whether the answers are entries a, b, c … of a list, which the text of the question shows."""
    firsts = "".join(option.words[0] for option in ask.options)
    return len(ask.options) > 1 and firsts == LETTERS[: len(ask.options)]


_RULE_BY_NAME = re.compile(r"(?i)\bproduct\s+(?:over|by|divided\s+by)\s+(?:the\s+)?sum\b")
_OPERATION = re.compile(r"(?<=\d)\s*(?:(?P<times>[*×·x])|/)\s*(?=\d)")


def _in_operations(line: str) -> str:
    """A line with the signs between its numbers in words, and without a rule called by its name:
    2*9 is 2 times 9, and 'product over sum' says nothing of what is over what here.
    """
    in_words = _OPERATION.sub(lambda sign: " times " if sign["times"] else " over ", line)
    return _RULE_BY_NAME.sub(" ", in_words)


def named(ask: Ask, line: str) -> list[Option]:
    """The answers that a line names; more than one where it leaves that open."""
    line = _in_operations(_ANY_MORE.sub(" ", line))
    if is_yes_or_no(ask) and len(stated := _in_words(ask, _NONE_AS.sub("", line))) == 1 and (
        _NONE_AS.match(line)
    ):
        return stated
    line = _A_POINT.sub(" ", line) if re.search(r"[^\W\d_]{2,}", line) else line
    head = BECAUSE_OR_AS.split(line)[0]
    if agreed := _by_yes_or_no(ask, line):
        return agreed
    if all_or_none(ask, line):
        return []
    if head != line and not is_lettered(ask) and len(of_head := _in_words(ask, head)) == 1:
        return of_head
    first = re.split(r"[,;:]", line)[0]
    if not is_lettered(ask) and not _MENDED.search(line[len(first):]) and names_one(ask, first):
        return _spoken(ask, plain(first))
    line = _without_units_of_amounts(ask, line)
    said = plain(line)
    if ONE_OF_THEM.search(said):
        return [*ask.options]
    if not is_lettered(ask):
        return _in_words(ask, line)
    letter = _LETTER.fullmatch(said)
    if letter:
        return [option for option in ask.options if option.words[0] == letter[1]]
    if by_letter := named_by_letter(ask, line):
        return by_letter
    # Only whole answers count from here on: 'a' is a word as well as a letter.
    written = _entry(ask, line)
    if written is not None:
        return [option for option in ask.options if option.words[0] == written]
    head = _by_capacitors(ask, head)
    if _tells_an_order(ask.options, head):  # where a name stands is not all of it
        return [o for o in ask.options if any(_same(word, head) for word in o.words[1:])]
    whole = [o for o in ask.options if any(_same(word, line) for word in o.words[1:])]
    return whole or _of_the_list(ask, line)


_NOT_IT = re.compile(
    r"(?i)\b(?:and\s+|but\s+)?(?:not|never|nor|rather\s+than|instead\s+of)\s+\(?[a-h]\b\)?"
)
_HEAD_OF_ANSWER = re.compile(r"(?i)^\W*(?:the\s+)?ans(?:wer)?\s*[.:=]+")
_CONCLUDES = re.compile(r"(?i)\b(?:so|hence|therefore|thus)\b")
_SMALL_LETTER = re.compile(r"\W*[a-h]\W*")  # a capital at the end of a list is a point


def named_by_letter(ask: Ask, line: str) -> list[Option]:
    """The entry of a list whose letter a line gives as its answer, before its reason or after it:
    what the reason speaks of is no choice.
    """
    if not is_lettered(ask):
        return []
    said = _NOT_IT.sub(" ", _HEAD_OF_ANSWER.sub(" ", line))
    before, *concluded = _CONCLUDES.split(said)
    clauses = [each for each in _CLAUSE_ENDS.split(before) if each.strip(" ()")]
    last = clauses[-1:] if clauses and _SMALL_LETTER.fullmatch(clauses[-1]) else []
    for given in (clauses[:1], [_CLAUSE_ENDS.split(each)[0] for each in concluded], last):
        places = {
            place_in(each, len(ask.options)) for each in given if _A_LETTER.search(each)
        } - {None}
        if places:
            return [option for at, option in enumerate(ask.options) if at in places]
    return []


_A_LETTER = re.compile(r"(?i)(?<!\w)[a-h](?!\w)")
_A_POINT = re.compile(r"\bP\b(?!\s*\.?\s*[dD]\b)")  # a capital is a point, and no p.d.
_ANY_MORE = re.compile(r"(?i)\b(?:any\s?more|any\s+longer)\b")
_CLAUSE_ENDS = re.compile(rf"(?i)[,;:.!–—]|{WORDS}|\b(?:as|so|both)\b")
# No difference, no p.d.: what there is none of, and no denial.
_THERE_IS_NONE = re.compile(r"(?i)\W*no\s+(?:p\.?\s?d\b|volt|potential|difference|change|need)")


_AMOUNT = re.compile(rf"(?<![\w.])\d[\d.,]*\s*{UNIT_SIGN}(?![A-Za-z])")


def _without_units_of_amounts(ask: Ask, line: str) -> str:
    """A line without its amounts where a letter for a p.d. is an answer: 3 V says no V."""
    is_asked = any("v" in option.words for option in ask.options)
    return _AMOUNT.sub(" ", line) if is_asked else line


def first_clause(line: str) -> str:
    """What a line says first, where it takes nothing of it back; else all of it."""
    head = re.split(r"[,;:]", BECAUSE_OR_AS.split(line)[0])[0]
    return line if _MENDED.search(line[len(head):]) else head


def is_yes_or_no(ask: Ask) -> bool:
    """Whether it is asked whether something is so."""
    return {option.words[0] for option in ask.options} == {"yes", "no"}


# None, it's balanced: none was for the question before, and what is asked stands behind it.
_NONE_AS = re.compile(
    r"(?i)^\W*(?:none|nothing)\b(?:\s*[,;:.–—-]\s*|\s+(?=(?:it|they|the|this|that|since|because|as|cos)\b"
    r"|(?:it|they|that)['’]))"
)


def _by_yes_or_no(ask: Ask, line: str) -> list[Option]:
    """The answer that the first clause of a line gives by agreeing or denying, where it is asked
    whether something is so.
    """
    by_word = {option.words[0]: option for option in ask.options}
    if not is_yes_or_no(ask) or _THERE_IS_NONE.match(line):
        return []
    agrees = yes_or_no(_CLAUSE_ENDS.split(line.strip())[0])
    found = [] if agrees is None else [by_word["yes" if agrees else "no"]]
    denial = _DENIAL_AND.match(BECAUSE_OR_AS.split(line)[0])
    told = _spoken(ask, plain(denial["told"])) if denial is not None and found else found
    if denial is None or len(told) != 1 or told == found:
        return found
    return told if denial["none"] else [*found, *told]


# None, it is balanced: that none can be combined is no denial of it; no, it is balanced is both.
_DENIAL_AND = re.compile(
    r"(?i)\W*(?:no(?:pe)?|nah|(?P<none>none(?=,|\W+(?:it|they|this)\b)))\b\W*"
    r"(?P<told>(?:[\w'’]+\W*){1,4})$"
)


def all_or_none(ask: Ask, line: str) -> bool:
    """Whether a line begins by taking all of the answers, or none, where that is no answer."""
    head = re.split(r"[,;:.!]", BECAUSE_OR_AS.split(line)[0])[0]
    is_one = any(plain(word) == plain(head) for option in ask.options for word in option.words)
    at_once = AT_ONCE.fullmatch(head) is not None and all(
        re.fullmatch(r"[A-Za-z]_?\d+'*", option.words[0]) for option in ask.options
    )
    return not is_one and (at_once or _ALL_OR_NONE.fullmatch(head) is not None)


# Where it is asked which of several is first.
AT_ONCE = re.compile(
    r"(?i)\W*(?:(?:it|they|both|all|reach|it|them|get|there|is|are|do|happens?)\b\W*)*"
    r"(?:(?:(?:at|in)\s+)?(?:exactly\s+)?the\s+same\s+(?:time|moment|instant)|same\s+time"
    r"|simultaneously|together|at\s+once)\W*"
)


def _in_words(ask: Ask, line: str) -> list[Option]:
    """The answers that a line names by a word of theirs, else by their place or in like words."""
    if (other := _the_other_of_two(ask, line)) is not None:
        return [other]
    return _spoken(ask, plain(line)) or _by_place_or_gist(ask, line)


_THE_OTHER = re.compile(
    r"(?i)\b(?:so|it['’]?s|is|be|leaves|then)\s+(?:\w+\s+)?the\s+other(?:\s+one)?\W*$"
)


def _the_other_of_two(ask: Ask, line: str) -> Option | None:
    """The one of two answers that is left where a line rules the one out that it names."""
    found = _THE_OTHER.search(line)
    if found is None or len(ask.options) != 2:
        return None
    ruled_out = _spoken(ask, plain(line[: found.start()]))
    rest = [option for option in ask.options if option not in ruled_out]
    return rest[0] if len(ruled_out) == len(rest) == 1 else None


def _spoken(ask: Ask, said: str) -> list[Option]:
    """The answers of which a word is said; a word that is only part of another's does not count:
    in 1/C no C is meant.
    """
    said = without_pointing(said)
    heard = {
        n: [plain(w) for w in option.words if f" {plain(w)} " in f" {said} "]
        for n, option in enumerate(ask.options)
    }
    found = []
    for n, words in heard.items():
        rest = f" {said} "
        for other in (w for m, theirs in heard.items() if m != n for w in theirs):
            if any(word != other and f" {word} " in f" {other} " for word in words):
                rest = rest.replace(f" {other} ", "  ")
        if any(f" {word} " in rest for word in words):
            found.append(ask.options[n])
    return _undenied(ask, said, found)


# What moves is not what stays: the voltage goes down, V is halved, the charge then drops.
_MOVES = (
    r"(?: (?!\w*nt\b|not\b|never\b|cannot\b|or\b|and\b)\w+){0,2}? "
    r"(?:(?:goes|go|going|went) (?:up|down)"
    r"|(?:gets?|becomes?|is|are) (?:a lot |much )?"
    r"(?:smaller|less|lower|bigger|larger|higher|more|halved|doubled|reduced)"
    r"|differs?|(?:is|are) different|rises?"
    r"|rose|falls?|fell|drops?|dropped|grows?|grew|shrinks?|increases?|decreases?|changes?"
    r"|halves|doubles|sinks?|climbs?)\b"
)
_STAYING = frozenset(("p.d.", "charge", "energy"))


def moving(ask: Ask, line: str) -> list[Option]:
    """The quantities on offer that a line says to rise, fall or change."""
    said = plain(line)
    return [
        option for option in ask.options
        if any(kind in word for word in option.words for kind in _STAYING)
        and any(
            re.search(rf"\b{re.escape(plain(w))}s?\b{_MOVES}|\bown {re.escape(plain(w))}\b", said)
            for w in option.words
        )
    ]


def denied_in(ask: Ask, said: str) -> list[Option]:
    """The answers of which plain words say that they are not it."""
    return [
        option for option in ask.options if any(
            re.search(rf"{_NOT}{re.escape(plain(word))}\b", said) for word in option.words
            if not _NOT_WORD.match(plain(word))
        ) and not any(_NOT_WORD.match(plain(word)) and f" {plain(word)} " in f" {said} "
                      for word in option.words)
    ]


def _undenied(ask: Ask, said: str, found: list[Option]) -> list[Option]:
    """Without those of which it is said that they are not it; where all but one are, that one."""
    denied = denied_in(ask, said)
    rest = [option for option in found if option not in denied]
    if not denied or rest or len(ask.options) != len(denied) + 1:
        return rest
    return [option for option in ask.options if option not in denied]


def _of_the_list(ask: Ask, line: str) -> list[Option]:
    """The entry of a list that is meant by its number or place, or by words that fit only it."""
    entries = [found[2] for found in _LISTED.finditer(ask.text)]
    if len(entries) != len(ask.options):
        return []
    at = option_in(line, entries) if not _NUMBER.fullmatch(line.strip()) else None
    at = at if at is not None else _by_brackets(line, entries)
    at = at if at is not None else gist_in(line, entries)
    return [ask.options[at]] if at is not None else []


_SUMMED = re.compile(r"(?i)\s*(?:\+|\bplus\b|\band\b)\s*")
_BESIDE = re.compile(r"(?i)\b(?:parallel|side\s+by\s+side|beside|not|never|no)\b|n['’]t\b")


def _by_brackets(line: str, entries: Sequence[str]) -> int | None:
    """The one equation of a list whose sum in brackets a line says in words: C1 in series with the
    C2 + C.
    """
    said = _SUMMED.sub("+", line)
    if _BESIDE.search(said) or "=" in said:
        return None
    inside = [re.findall(r"\(([^()]+)\)", _SUMMED.sub("+", entry)) for entry in entries]
    found = [
        at for at, sums in enumerate(inside) if any(
            "+" in each and re.search(rf"(?i)(?<![\w+]){re.escape(each)}(?![\w+])", said)
            for each in sums
        )
    ]
    return found[0] if len(found) == 1 else None


def by_place_in(ask: Ask, line: str) -> Option | None:
    """The answer meant as the first or the last that the question names."""
    is_a_place = _NUMBERED.search(line) or not re.search(r"\d", line)
    at = place_in(line, len(ask.options)) if is_a_place else None
    if at is None or len(plain(line)) < 2:
        return None
    places = [ask.text.find(option.words[0]) for option in ask.options]
    order = sorted(range(len(places)), key=places.__getitem__) if min(places) >= 0 else [
        *range(len(places))
    ]
    return ask.options[order[at]]


def _by_place_or_gist(ask: Ask, line: str) -> list[Option]:
    """The answer meant as the first or the last that the question names, or in like words."""
    if (by_place := by_place_in(ask, line)) is not None:
        return [by_place]
    asked = set(plain(_without_options(ask)).split())
    at = gist_in(line, [
        " ".join(w for w in " ".join(option.words).split() if w not in asked)
        for option in ask.options
    ])
    return [ask.options[at]] if at is not None else []


def _without_options(ask: Ask) -> str:
    """The text of a question without the answers that it offers."""
    text = ask.text
    for option in ask.options:
        text = text.replace(option.words[0], " ")
    return text


def names_one(ask: Ask, line: str) -> bool:
    """Whether a line is, word for word, an answer of the question, which then is no request."""
    if is_lettered(ask):
        return len(named(ask, line)) == 1
    said = _LED_IN.sub("", plain(line))
    return any(_LED_IN.sub("", plain(word)) == said for o in ask.options for word in o.words)


_LED_IN = re.compile(r"^(?:(?:i think|i d say|id say|it is|it s|its|the|a|an|their)\b ?)+(?=\w)")
_ENTRY = re.compile(r"^\s*[a-h]\)\s*", re.IGNORECASE)
_LISTED = re.compile(r"^([a-h])\) (.+)$", re.MULTILINE)
_NUMBER = re.compile(r"[-+]?[\d.,]+")


def answers(telling: Telling, line: str) -> bool:
    """Whether a line is, word for word, an answer to the question in hand."""
    return telling.ask is not None and not telling.over and names_one(telling.ask, line)


def offered(options: Sequence[Option], lettered: bool, line: str = "") -> str:
    """What may be typed, after a line that names none of the answers."""
    if lettered:
        if _tells_an_order(options, line):
            return f"That order is not among these. {offered(options, lettered)}"
        *most, last = [option.words[0] for option in options]
        return f"Type one of the letters: {', '.join(most)} or {last}."
    return f"Say one of these: {' or '.join(_quoted(option) for option in options)}."


def describes(line: str) -> bool:
    """Whether a line describes one of the answers without saying which it is."""
    return _DESCRIBES.match(line) is not None or is_vague(line)


_VAGUE = re.compile(
    r"(?i)\W*(?:(?:it['’]?s|well|i\s+think)\s+)*(?:some(?:thing|how)?|any(?:thing)?)(?:\W+\w+){1,3}\W*"
)


def is_vague(line: str) -> bool:
    """Whether a few words only say what sort of thing it is: something with C, some product."""
    return _VAGUE.fullmatch(line) is not None


def and_what_it_is(options: Sequence[Option]) -> str:
    """A question back, after words for what it is not."""
    return f"That says what it is not. What is it, then: {' or '.join(map(_quoted, options))}?"


def and_which(options: Sequence[Option], lettered: bool) -> str:
    """A question back, after words that speak of the matter and decide for none."""
    if lettered:
        return "And which of the letters does that come to?"
    return f"And which of these does that make it: {' or '.join(map(_quoted, options))}?"


_A_CHANGE = re.compile(
    r"(?i)\b(?:chang\w+|differ\w*|alter\w*|var(?:y|ies)|factor|another\s+value|not\s+what\s+it"
    r"|something\s+else|moves?)\b"
)


def asks_which_way(ask: Ask) -> bool:
    """Whether it is asked whether something is lower or higher than before."""
    return {LESS, MORE} <= {option.words for option in ask.options}


def says_a_change(ask: Ask, line: str) -> bool:
    """Whether a line says that something is not what it was, where it is asked which way."""
    return asks_which_way(ask) and _A_CHANGE.search(line) is not None


def and_which_way(options: Sequence[Option]) -> str:
    """A question back, after words for a change that leave its direction open."""
    ways = " or ".join(_quoted(option) for option in options if option.words is not SAME)
    return f"So it is not what it was. Which way does it go: {ways}?"


def and_what_stays(options: Sequence[Option]) -> str:
    """A question back, after words for what moves where it is asked what is held."""
    these = " or ".join(map(_quoted, options))
    return f"That says what is not the same. Which of these is it, then: {these}?"


def doubtful(options: Sequence[Option]) -> str:
    """A question back, after a line that names several of the answers."""
    return f"Which of the two: {' or '.join(_quoted(option) for option in options)}?"


def _quoted(option: Option) -> str:
    return f"'{option.words[0]}'"


def _entry(ask: Ask, line: str) -> str | None:
    """The letter of the one entry of the list that a line copies, or whose number it gives."""
    said = _signed(_ENTRY.sub("", line))
    entries = {found[1]: _signed(found[2]) for found in _LISTED.finditer(ask.text)}
    for option in ask.options:
        entries.setdefault(option.words[0], "")
    same = [letter for letter, text in entries.items() if text and said == text]
    if not same and _NUMBER.fullmatch(said):
        same = [letter for letter, text in entries.items() if text.split(" ")[0] == said]
    return same[0] if len(same) == 1 else None


def _signed(text: str) -> str:
    """A text with its signs, which `plain` leaves out, and no more than these to tell it by."""
    return re.sub(r"\s+", " ", MICRO.sub("u", text.replace("−", "-"))).strip(" .").lower()


_COMPARES = re.compile("[<>=]")


# Q3 > Q1 says of the charges, of which it is asked, what C3 > C1 says.
_LETTERS = MappingProxyType({"charge": "Q", "voltage": "VU", "energy": "EW"})


def _by_capacitors(ask: Ask, line: str) -> str:
    letters = _LETTERS.get(ask.about, "C")
    return re.sub(rf"(?i)(?<!\w)[{letters}]_?(\d)(?!\w)", r"C\1", line)


def _tells_an_order(options: Sequence[Option], line: str) -> bool:
    """Whether the answers are orders, as C1 > C2 = C3, and a line tells one, be it another."""
    orders = [word for option in options for word in option.words[1:] if re.search("[<>]", word)]
    names = re.findall(r"\w+", orders[0]) if orders else []
    return bool(names) and (
        _COMPARES.search(line) is not None or levels_in(line, names) is not None
    )


def _same(word: str, line: str) -> bool:
    """Whether both say the same; an order is told by its names, in signs or in words."""
    names = re.findall(r"\w+", word) if re.search("[<>=]", word) else []
    if names and (told := levels_in(line, names)) is not None:
        return told == levels_in(word, names)
    return plain(MICRO.sub("u", word)) == plain(MICRO.sub("u", line))
