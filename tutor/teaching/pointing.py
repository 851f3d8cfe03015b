"""Which capacitors a line points at: by name, by number, by value, by place or by how they stand.

What could mean two different sets is asked about; a reason that follows is kept apart.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

from grammar.spoken_numbers import in_figures
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.steps import StepKind, choices
from tutor.circuit.values import in_letters
from tutor.teaching.hearing import common_start, near, plain, points_in
from tutor.teaching.reading.because_words import AS, BECAUSE, WORDS
from tutor.teaching.reading.spoken_words import COMMON, INTERJECTIONS, meanings_of, mended

KIND_WORDS: Mapping[StepKind, tuple[str, ...]] = MappingProxyType({
    "parallel": ("parallel", "beside", "side"),
    "series": ("series", "chain", "row"),
    "removal": ("remove", "removed", "leave", "left", "take", "taken", "drop", "dropped",
                "delete", "deleted", "ignore", "discard"),
})
_REASON = re.compile(
    rf"(?i){WORDS}|{AS}|[,;:.(]\s*(?=(?:they(?:['’]?re)?|both\s+\w+|nothing|only|there|these|those|it)\b)"
    r"|(?<!\bones\s)(?<!\btwo\s)(?<!\bpair\s)(?<!\bthose\s)\b(?=they['’]?(?:re|ve)\b"
    r"|(?:they|which|that|both|each)\s+(?:are|have|both|share|join|meet|touch|lie|sit|stand|go|run|hang)\b)"
)
_NUMBERED = re.compile(
    r"(?i)\b(?:see|sea|c(?:ap(?:acitor)?)?s?)(?:\s+(?:no\.?|number)|[\s_-])\s*"
    r"(one|two|three|four|five|six|seven|eight|nine|\d)(?![\w.,]*\d|\s*[pnuµμm]?F)(?!\w)"
)
_BY_NUMBER = re.compile(r"(?i)\b(?:number|no\.|nr\.?|#)\s*(\d)\b")
_FIGURE: Mapping[str, str] = MappingProxyType({
    word: str(n) for n, word in enumerate(
        ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine"), 1
    )
})
_NUMBER_WORD = re.compile(
    r"(?i)\d+|\b(?:one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|\w+teen|twenty"
    r"|thirty|forty|fifty|sixty|seventy|eighty|ninety|hundred)\b"
)
_THE_SIX = re.compile(
    r"(?i)\bthe\s+(?:six|seven|eight|nine|ten|eleven|twelve|\w+teen|twenty|thirty|forty|fifty|sixty"
    r"|seventy|eighty|ninety|hundred)\b"
)
# The two with the four: no count, where another number stands beside it.
_THE_TWO_WITH = re.compile(
    r"(?i)\bthe\s+(two|three|four|five)(?=\s*(?:,|&|\+|\b(?:and|with|plus|beside|joins?)\b)\s*the\s+"
    rf"(?:{_NUMBER_WORD.pattern.removeprefix('(?i)')}))"
)
_THE_SIXES = re.compile(
    r"(?i)\b(two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|\w+teen|twent|thirt|fort|fift)"
    r"(?:e?s|ies)\b"
)
_SMALL: Mapping[str, int] = MappingProxyType({
    "two": 2, "2": 2, "pair": 2, "couple": 2, "both": 2, "three": 3, "3": 3, "four": 4, "4": 4,
    "five": 5, "5": 5,
})
_HOW_MANY = r"(two|2|pair|couple|both|three|3|four|4|five|5)"
_THINGS = r"(?:\s+(?:ones?|caps?|capacitors?|of\s+them|together))*"
# All 3, which is no number of a capacitor.
_ALL_OF_SO_MANY = re.compile(
    r"(?i)\ball\s+(?:the\s+)?(\d)\b(?!\s*[pnuµμm]?F)(?!\s*(?:,|and)\s*\d)"
)
# Two of the four: how many there are, and none that is worth so much.
_OUT_OF_SO_MANY = re.compile(
    r"(?i)\bof\s+(?:the|these|those)\s+(?:two|three|four|five)\b"
    r"(?!\s*(?:$|,|&|\+|\b(?:and|with|plus|[pnuµμm]?f|micro\w*|nano\w*)\b)\s*(?:the\s+)?\w*\d)"
)
_EVERYONE = re.compile(
    r"(?i)\b(?:all|everything|every(?:\s+one)?|them|the\s+(?:whole\s+)?lot|whole\s+(?:thing|lot)"
    r"|(?:the\s+)?(?:whole|entire)\s+(?:bunch|group|gang|set|family|crew)|each(?:\s+one)?)\b"
)
_NOT_ANY = re.compile(
    r"(?i)\b(?:none|nothing|neither|nada|zilch|nowt|no\s+(?:such\s+)?(?:two|pairs?|ones?|capacitors?|more)|not\s+(?:any|possible)"
    r"|aren['’]?t\s+any|impossible|no\s+(?:of\s+them))\b"
    r"|\b(?:can['’]?t|cannot|can\s+not|couldn['’]?t)\b(?!.*\b(?:tell|see|say|remember|do\s+this)\b)"
)
# Nothing parallel here, which leaves the other kind open.
_NONE_OF_A_KIND = re.compile(
    r"(?i)(?!.*\b(?:combin\w+|can\w*)\b)\W*(?:\w+\W+){0,4}?(?:no|none|nothing|neither|not)\b[^,;.]*"
    r"\b(?:parallel|series|chain|row|side\s+by\s+side)\b"
)
# Not C1 and C2; I don't think C1 and C2 can; C1 and C2 can't. Not: C1 and C2, not C3.
_RULED_OUT = re.compile(
    r"(?i)^\W*(?:i\s+)?(?:not(?!\s+(?:sure|certain))|(?:do\s*n['’]?t|do\s+not)\s+(?:think|believe))\b"
    r"(?!.*\bbut\b)|\b(?:ca|could|wo|are|do)n?['’]?t(?:\s+(?:be\s+)?\w+)?\W*$"
    r"|\b(?:cannot|can\s+not)(?:\s+(?:be\s+)?\w+)?\W*$"
)
# C2 and C3, not C1; not C1 but C2 and C3.
_LEFT_OUT = re.compile(
    r"(?i),?\s*\b(?:but\s+)?not\s+(?:with\s+)?c_?\d+(?:\s*(?:,|&|\b(?:and|n?or)\b)\s*c_?\d+)*"
    r"(?:[\s,]+but\b)?"
)
_ONE_NAME = re.compile(r"(?i)(?<!\w)[a-z]_?\d")
_SEVERAL_NAMES = r"[a-z]_?\d+(?:\s*(?:,|&|\b(?:and|n?or)\b)\s*[a-z]_?\d+)*"
# All but C1; not C1; C1 alone; leave C1, which is not to leave it out.
_BUT_FOR = re.compile(
    r"(?i),?\s*\b(?:(?:but\s+)?not(?:\s+with)?|but|bar|without|excluding|minus|save(?:\s+for)?"
    r"|except(?:ing)?(?:\s+for)?|(?:apart|aside)\s+from|other\s+than"
    rf"|(?:leave|leaving|keep|keeping))\s+{_SEVERAL_NAMES}\b(?!\s+(?:out|off|away)\b)"
    r"(?:\s+(?:alone|aside|as\s+(?:it\s+is|they\s+are)))?(?:[\s,]+but\b)?"
    rf"|\b{_SEVERAL_NAMES}\s+(?:(?:is|are|stays?|stands?)\s+)?(?:alone|aside|by\s+(?:itself|themselves)"
    r"|on\s+(?:its|their)\s+own)\b"
)
_ALL_THE_OTHERS = re.compile(
    r"(?i)\b(?:the\s+)?(?:(?:all|every(?:\s*one|thing|body)?|others?|rest|remaining|ones|those)\b\s*)+"
    rf"(?:of\s+(?:them|these|those)\b)?(?P<many>{_HOW_MANY}\b)?"
    r"(?:\s*(?:ones|caps|capacitors)\b)?"
)
WHICH = "Which will you take? Name them."
REALLY_ALL = "All of the capacitors there are? Then name them, or say none."
_WHICH_THEN = "That says which can not. Which can be combined, or none?"
_BOTH_ENDS = (
    r"\bboth\s+(?:of\s+their\s+)?(?:ends|points|nodes|legs)\s+(?:are\s+)?(?:in\s+)?"
    r"(?:common|shared|joined|together|the\s+same)\b"
)
_FORM_WORDS: Mapping[StepKind, re.Pattern[str]] = MappingProxyType({
    "parallel": re.compile(
        r"(?i)\bparallel|\bside\s+by\s+side|\bbracket|\bbeside|\bbranch|\bnext\s+to\s+each"
        r"|\btop\s+and\s+bottom|\bstacked|\bone\s+above"
        rf"|{_BOTH_ENDS}"
    ),
    "removal": re.compile(
        r"(?i)\bdead[\s-]*end|\bleads?\s+nowhere|\bloose\b|\bshorted\b|\bbypassed\b|\buseless\b"
    ),
    "series": re.compile(
        r"(?i)\bseries|\bchain|\bin\s+a\s+row|\bone\s+after|\bin\s+(?:a\s+)?line|\bend\s+to\s+end"
    ),
})
_A_BRANCH = re.compile(
    r"(?i)\b(?:upper|lower|top|bottom|left|right|first|one|that|long\w*)(?:-hand)?\s+(?:branch|arm)\b"
)
_PLACES = re.compile(
    rf"(?i)\b(?:the\s+)?(?:{_HOW_MANY}\s+)?(?:{_THINGS}\s+)?(?:(?:on|to|at|in)\s+(?:the\s+)?)?"
    rf"(?:far\s+)?(first|last|left|right|middle|end|ends|outer|outside|inner|inside|beginning|start"
    rf"|final)(?:\s+hand)?(?:\s+side)?(?:\s+{_HOW_MANY})?{_THINGS}\b"
)
_AS_ORDER = re.compile(r"(?i)\b(?:ones|caps|capacitors|them)\s+(?:first|last)\W*$")  # those first
_FIRST_AND_LAST = re.compile(r"(?i)\bfirst\s+(?:one\s+)?(?:and|&|\+|with)\s+(?:the\s+)?last\b")
_ORDINAL = re.compile(r"(?i)\b(first|second|third|fourth|fifth)\b(?!\s+(?:two|three|pair))")
_ORDER: Mapping[str, int] = MappingProxyType(
    {"first": 0, "second": 1, "third": 2, "fourth": 3, "fifth": 4}
)
_ALONE = re.compile(
    r"(?i)\b(?:on\s+its\s+own|by\s+itself|alone|lonely|(?<!every )(?<!each )single)\b"
    r"|\bthe\s+odd\s+one\b"
)
_OTHERS = re.compile(r"(?i)\b(?:others?|rest|remaining)\b")


# The 5 and the 2 first, I'd like to leave the 3 for later.
_AFTERWARDS = re.compile(
    r"(?i)(?:[,;.]\s*(?:and\s+|then\s+|but\s+)?|\b(?:and|then|but)\s+)(?:(?:i['’]?(?:d\s+like\s+to|ll|\s+will)|we(?:['’]ll)?|let['’]s)\s+)?"
    r"(?:leave|leaving|keep|keeping|save|saving|do|take)\s+[^,;.]*?\b(?:for\s+(?:later|now|the\s+end|last)"
    r"|(?:till|until|to|for)\s+(?:the\s+)?(?:end|last|later)|later|afterwards|after\s+that|next|last)\b[^,;.]*"
)
_RATIO = re.compile(r"(?<![\w.])\d+(?:\.\d+)?\s*:\s*\d+(?:\.\d+)?(?![\w.])")
_NONE_FOR_A_REASON = re.compile(
    r"(?i)\W*(?:i['’]?d\s+say\s+|i\s+think\s+)?(?:none|nothing|no\s+two)(?:\s+(?:here|now|that\s+i\s+can\s+see"
    rf"|of\s+them|can(?:\s+be)?|at\s+all))*\s*(?:[:;,.–—-]|{WORDS}|{AS})\s*(?=\w+\s+\w)"
)


class Chosen(NamedTuple):
    """Capacitors named, in the order of the network, and the kind of step if one was said.

    ``unknown`` are words that look like names but mean none here; ``doubtful`` a value that
    several capacitors have; ``asks`` a question back where two sets may be meant; ``reason`` what
    was said in support.
    """

    names: tuple[str, ...]
    kind: StepKind | None
    unknown: tuple[str, ...] = ()
    doubtful: str | None = None
    asks: str = ""
    reason: str = ""


def capacitors_in(
    line: str, network: Network, unit_power: int, made: Collection[str] = ()
) -> Chosen | None:
    """The capacitors a line points at; None if it points at none. ``made`` are the names of those
    that steps have made.
    """
    line = re.sub(r"(?i)(?<=\bc\d)(?=c\d\b)", " ", _AFTERWARDS.sub(" ", line))
    line = values_in_figures(_RATIO.sub(" a ratio ", line))
    if (none_here := _NONE_FOR_A_REASON.match(line)) is not None:
        return Chosen((), None, reason=line[none_here.end() :].strip())
    line = _by_age(line, [c.name for c in network.capacitors], made)
    said, reason = _with_its_reason(_what_follows(line))
    kind = _kind_in(line)
    said = _BY_NUMBER.sub(r"C\1", said)
    said = with_the_others_named(said, [c.name for c in network.capacitors])
    rest = _LEFT_OUT.sub(" ", said)
    said = _ALL_OF_SO_MANY.sub(_all_of_them, rest if re.search(r"\d", rest) else said)
    said = _OUT_OF_SO_MANY.sub("of them", said)
    text = _NUMBERED.sub(_numbered, re.sub(r"\|\||∥|--|[—–]", " ", said))
    text = _THE_SIXES.sub(lambda found: f"{in_figures(found[1])}s", text)
    text = _THE_SIX.sub(lambda found: in_figures(found[0]), text)
    in_words = _NUMBER_WORD.findall(text)
    if len(in_words) > 1 and not re.search(r"(?i)\b(?:all|any|those|only)\b", text):
        text = in_figures(text)
    found = _Named.of(text, network, unit_power)
    if found.any:
        if _RULED_OUT.search(said):
            return Chosen((), None, asks=_WHICH_THEN)
        return found.chosen(network, kind, reason)
    if re.match(r"(?i)\s*(?:what|which|why|how)\b|.*\?", line):
        return None
    described = _described(text, network, kind, reason)
    if described is not None and described.asks and (formed := _formed(line, network)) is not None:
        return formed if formed.names else described
    return described


def with_the_others_named(line: str, names: Sequence[str]) -> str:
    """A line with the names of those that are meant where others are named as left out: all but
    C1; C1 alone, the others in series; not C1, the other two.
    """
    left_out = _BUT_FOR.search(line)
    if left_out is None:
        return line
    rest = f"{line[: left_out.start()]} {line[left_out.end() :]}"
    meant = _ALL_THE_OTHERS.search(rest)
    others = [name for name in names if not re.search(rf"(?i)\b{re.escape(name)}\b", left_out[0])]
    if meant is None or _ONE_NAME.search(rest) or not 1 < len(others) < len(names):
        return line
    if meant["many"] and _SMALL[meant["many"].lower()] != len(others):
        return line
    return f"{rest[: meant.start()]}{' and '.join(others)} {rest[meant.end() :]}".strip(" ,;:-")


def values_in_figures(line: str) -> str:
    """A line with 'the two and the four' as the values that these are."""
    return _THE_TWO_WITH.sub(lambda found: f"the {_FIGURE[found[1].lower()]}", line)


def begins_with_none(line: str) -> bool:
    """Whether a line says first that none can be combined: names behind it choose nobody."""
    return _NONE_FOR_A_REASON.match(line) is not None


def _by_age(line: str, names: Sequence[str], made: Collection[str]) -> str:
    """The names of the one that was made, or of those that nothing has been made of yet, in the
    place of words that say so; what is left is all of them.
    """
    new, old = ([name for name in names if (name in made) is is_new] for is_new in (True, False))
    if len(new) == 1:
        line = _THE_NEW_ONE.sub(new[0], line)
    line = _WHAT_IS_LEFT.sub(lambda found: f"all {found['many'] or ''} of them", line)
    if new:
        line = _THE_REST.sub("all of them", line)
    if new and len(old) == 2:
        line = _OTHER_TWO.sub(" and ".join(old), line)
    return _UNTOUCHED.sub(" and ".join(old), line) if new and len(old) > 1 else line


_THE_NEW_ONE = re.compile(
    r"(?i)\b(?:the|our|that|this|a)\s+(?:new(?:ly\s+made)?|combined|merged|equivalent|replacement"
    r"|substitute|fresh|result(?:ing)?)(?:\s+(?:one|cap\w*))?\b"
)
_WHAT_IS_LEFT = re.compile(
    r"(?i)(?:\b(?:the\s+)?(?P<many>two|three|four|2|3|4)(?:\s+(?:ones?|caps?|capacitors?))?"
    r"|\b(?:the\s+)?(?:ones|caps|capacitors|those)|\b(?:what|whatever|everything|all))"
    r"(?:\s+(?:that|which))?(?:['’]?s|\s+(?:is|are))?\s+left(?:\s+over)?"
    rf"(?=\s*(?:$|[.,;:!]|{WORDS}|\b(?:now|then|as|can|are|in)\b))"
)
_THE_REST = re.compile(
    r"(?i)^\W*(?:the\s+)?(?:rest|remaining\s+(?:ones?|caps?|capacitors?))"
    r"(?:\s+(?:of\s+(?:them|it)|together|in\s+one\s+(?:go|step)|at\s+once|all))*(?=\W*(?:$|[,;:]))"
)
_OTHER_TWO = re.compile(
    r"(?i)\b(?:the\s+)?(?:other|remaining)\s+(?:two|2|pair|couple)\b(?:\s+ones)?"
)
_UNTOUCHED = re.compile(
    r"(?i)\b(?:the\s+)?(?:two|ones?|pair|others?|caps?|capacitors?)?\s*(?:(?:that|which)\s+)?"
    r"(?:(?:we|i|you|they)\s+)?(?:have\s+|had\s+|are\s+|were\s+)?"
    r"(?:n['’]t|not|never)\s+(?:yet\s+)?(?:been\s+)?"
    r"(?:touched|used|done|combined|merged|taken)\b(?:\s+yet)?"
)


def _all_of_them(found: re.Match[str]) -> str:
    """All three of them, for all 3."""
    return next((f"all {word} of them" for word, n in _FIGURE.items() if n == found[1]), found[0])


def _what_follows(line: str) -> str:
    """What stands after 'so', where capacitors are named there; the line where none are."""
    after = re.split(r"(?i)\b(?:so|therefore|hence|means)\b", line)[-1]
    named = re.findall(r"(?i)\bc\w*\d", after)
    return after if len(named) > 1 and not re.search(r"=", after) else line


def _with_its_reason(line: str) -> tuple[str, str]:
    if _NOT_ANY.match(line.strip()) and "," in line:
        return (halves := line.split(",", 1))[0], halves[1].strip()
    if BECAUSE.match(line.strip()):
        return line, line
    cut = _REASON.search(line)
    if cut is None or not re.search(r"\w", line[: cut.start()]):
        return line, ""
    return line[: cut.start()], line[cut.end() :].strip()


def _numbered(found: re.Match[str]) -> str:
    return f"C{_FIGURE.get(found[1].lower(), found[1])}"


_IDLE = re.compile(
    r"(?i)\b(?:carr(?:y|ies)|holds?|does|has|gets?)\s+(?:nothing|no\s+(?:charge|current))\b"
    r"|\b(?:can|may)\s+go(?=\W*(?:$|[,;.:]|because\b|since\b|as\b|cos\b))|\bget\s+rid\s+of\b"
    r"|\b(?:chuck|bin|scrap|ditch)\w*\s+(?:out\s+|away\s+)?c_?\d|\buseless\b"
)


def _kind_in(line: str) -> StepKind | None:
    if "||" in line or "∥" in line:
        return "parallel"
    if "--" in line or "—" in line:
        return "series"
    if _IDLE.search(line):
        return "removal"
    if re.search(r"(?i)\bnot\s+(?:in\s+)?(?:series|parallel|a\s+chain)\b", line):
        return None
    words = {*plain(line).split()} - {"besides"}  # but for these
    if not re.search(r"(?i)\bleft\s+(?:out|off|away|behind|aside)\b", line):
        words.discard("left")
    if not re.search(r"(?i)\btak(?:en?|es|ing)\b.*\b(?:out|off|away)\b", line):
        words -= {"take", "takes", "taken", "taking"}
    kinds = [kind for kind, hints in KIND_WORDS.items() if near(words, hints)]
    return kinds[0] if len(kinds) == 1 else None


# By name, by number, by value


class _Named(NamedTuple):
    """What a text names: ``names`` for certain, ``numbers`` that may be names or values."""

    names: dict[str, None]
    unknown: list[str]
    doubtful: str | None
    asks: str

    @staticmethod
    def of(text: str, network: Network, unit_power: int) -> _Named:
        """All that a text names."""
        names = {c.name: c.name for c in network.capacitors}
        lower = {name.lower(): name for name in names} | _by_ends(names)
        found: dict[str, None] = {}
        unknown: list[str] = []
        said = [word.strip() for word in re.findall(r"\d+(?:[.,]\d+)?", text)]
        doubtful: str | None = None
        by_value = bool(re.search(r"(?i)\b(?:the|a)\s+\d|\d\s*[pnuµμm]?F\b|\d\s+ones?\b", text))
        words = re.findall(r"[A-Za-z][\w]*'*|\d+(?:[.,]\d+)?\s*(?:[pnuµμm]?F\b)?", text)
        bare = [word.strip() for word in words if word[0].isdigit()]
        two_ones = re.search(r"(?i)\b(?:two|both)\s+ones\b", text)
        if two_ones and len(_valued("1", network, unit_power)) > 1:
            text = re.sub(r"(?i)\bones\b", "1s", text)
            words = ["1"]
        by_value = by_value or _some_only_by_value(bare, network, unit_power)
        asks = "" if by_value else _two_readings(bare, network, unit_power)
        if re.fullmatch(r"[\d\s,.;&+and]*", text):
            by_value = by_value or _all_by_value(bare, network, unit_power)
        for many in _SO_MANY_OF_THEM.finditer(text):
            of_them = _valued(many[1].replace(",", "."), network, unit_power)
            if len(of_them) > 1:
                found.update(dict.fromkeys(of_them))
                words.remove(many[1])
        for word in words:
            if word[0].isdigit():
                matches = _by_number(word, network, unit_power, by_value)
                if not matches and (pair := _pair(word, network)):  # "3,2" is no value here
                    found.update(dict.fromkeys(pair))
                    continue
                is_all = len(matches) == said.count(word.rstrip("pnuµμmF ")) or len(matches) == 1
                found.update(dict.fromkeys(matches if is_all else ()))
                doubtful = doubtful if is_all or not matches else word
                unknown += [] if matches else [word.strip()]
            elif name := names.get(word) or lower.get(word.lower()) or lower.get(
                word.lower().replace("_", "")
            ):
                found[name] = None
            elif re.fullmatch(r"[A-Za-z]{1,2}_?\d+'*", word):
                unknown.append(word)
        return _Named(found, unknown, doubtful, asks)

    @property
    def any(self) -> bool:
        """Whether anything is named, known here or not."""
        return bool(self.names or self.unknown or self.doubtful or self.asks)

    def chosen(self, network: Network, kind: StepKind | None, reason: str) -> Chosen:
        """What is named, in the order of the network."""
        ordered = tuple(c.name for c in network.capacitors if c.name in self.names)
        return Chosen(ordered, kind, tuple(self.unknown), self.doubtful, self.asks, reason)


def _by_ends(names: Collection[str]) -> dict[str, str]:
    """Names by the letter that each ends in alone: y and z for Ky and Kz."""
    start = common_start(names)
    ends = {name[len(start):].lower(): name for name in names} if len(names) > 1 and start else {}
    is_so = all(re.fullmatch(r"[b-hj-z]", end) for end in ends)
    return ends if is_so and len(ends) == len(names) else {}


# The two 9s: all of that value.
_SO_MANY_OF_THEM = re.compile(r"(?i)\b(\d+(?:[.,]\d+)?)['’]?s\b")


def _two_readings(numbers: Sequence[str], network: Network, unit_power: int) -> str:
    """A question back where bare numbers may be values as well as the numbers of capacitors."""
    if len(numbers) < 2 or not all(re.fullmatch(r"\d+", number) for number in numbers):
        return ""
    valued = [_valued(number, network, unit_power) for number in numbers]
    named = [[c.name for c in network.capacitors if c.name == f"C{n}"] for n in numbers]
    by_value = [found[0] for found in valued if len(found) == 1]
    by_name = [found[0] for found in named if found]
    if len(by_value) < len(numbers) or len(by_name) < len(numbers) or (
        set(by_value) == set(by_name)
    ):
        return ""
    said = " and ".join(numbers)
    names = " and ".join(f"C{number}" for number in numbers)
    values = " and ".join(f"the {number}" for number in numbers)
    return f"Does {said} mean {names}, or the values? Write {names}, or {values}."


def _all_by_value(numbers: Sequence[str], network: Network, unit_power: int) -> bool:
    """Whether bare numbers are values, since not all of them are numbers of capacitors."""
    valued = [_valued(n.replace(",", "."), network, unit_power) for n in numbers]
    named = [any(c.name == f"C{n}" for c in network.capacitors) for n in numbers]
    return len(numbers) > 1 and all(len(found) == 1 for found in valued) and not all(named)


def _some_only_by_value(numbers: Sequence[str], network: Network, unit_power: int) -> bool:
    """Whether one of several bare numbers is a value and no capacitor's number: then all are."""
    return len(numbers) > 1 and all(re.fullmatch(r"\d+", number) for number in numbers) and any(
        _valued(number, network, unit_power)
        and not any(c.name == f"C{number}" for c in network.capacitors) for number in numbers
    ) and all(_valued(number, network, unit_power) for number in numbers)


def _pair(word: str, network: Network) -> tuple[str, ...]:
    """C3 and C2, written 3,2; nothing if either is not there."""
    names = tuple(f"C{number}" for number in re.findall(r"\d+", word))
    return names if "," in word and len(network.named(names)) == len(names) else ()


def _by_number(word: str, network: Network, unit_power: int, by_value: bool) -> list[str]:
    """Capacitors meant by a number: C3 by '3', or the 3 µF one by 'the 3' or '3 uF'."""
    digits = re.match(r"\d+(?:[.,]\d+)?", word)
    number = digits[0].replace(",", ".") if digits else ""
    named = [c.name for c in network.capacitors if c.name == f"C{number}"]
    if word.endswith("F"):  # 3 uF is a value and never C3
        return _valued(number, network, unit_power)
    if named and not by_value:
        return named
    return _valued(number, network, unit_power) or named


def _valued(number: str, network: Network, unit_power: int) -> list[str]:
    """The capacitors of this value, as it is printed: rounded to the figures of the number."""
    value = Fraction(number) * Fraction(10) ** unit_power
    exact = [c.name for c in network.capacitors if c.value == value]
    places = len(number.partition(".")[2])
    if exact or len(number.replace(".", "").lstrip("0")) < 2:
        return exact
    half = Fraction(10) ** (unit_power - places) / 2
    return [
        c.name for c in network.capacitors
        if not in_letters(c.value) and abs(c.value - value) <= half
    ]


# By place, and by how they stand


def _described(
    text: str, network: Network, kind: StepKind | None, reason: str
) -> Chosen | None:
    everyone = tuple(c.name for c in network.capacitors)
    if _NOT_ANY.search(_IDLE.sub(" ", text)):
        is_of_one_kind = kind not in ("parallel", "series") or _NONE_OF_A_KIND.match(text)
        return Chosen((), kind if is_of_one_kind else None, reason=reason)
    if _IDLE.search(text):
        return Chosen((), kind, asks="Which one is that? Name it.", reason=reason)
    if placed := _placed(text, network.capacitors):
        either = len(_PLACES.findall(text)) > 1 and re.search(r"(?i)\bor\b", text)
        return Chosen(() if either else placed, kind, asks=WHICH if either else "", reason=reason)
    formed = _formed(text, network)
    if formed is not None:
        return formed._replace(kind=kind, reason=reason)
    if (sized := _by_size(text, network)) is not None:
        return sized._replace(kind=kind, reason=reason)
    if (met := _at_points(text, network)) is not None:
        return met._replace(kind=met.kind or kind, reason=reason)
    if _ALONE.search(text):
        return Chosen((), kind, asks="Which one is that? Two or more can become one: name them.")
    counted = _counted(text, everyone)
    return counted._replace(kind=kind, reason=reason) if counted is not None else None


def _counted(text: str, everyone: tuple[str, ...]) -> Chosen | None:
    """By how many they are: all three, two of them, everyone."""
    many = re.search(rf"(?i)\b{_HOW_MANY}\b", text)
    counted = re.search(rf"(?i)\ball\s+(?:the\s+)?{_HOW_MANY}\b", text)
    if counted and _SMALL[counted[1].lower()] != len(everyone):
        return Chosen((), None, asks=f"There are {len(everyone)} of them: which? Name them.")
    if re.search(r"(?i)\bany\b|\bor\b", text) and (many or _EVERYONE.search(text)):
        return Chosen((), None, asks=WHICH)
    if many and not _EVERYONE.search(re.sub(r"(?i)\bof\s+them\b", "", text)):
        number = _SMALL[many[1].lower()]
        if number == len(everyone):
            return Chosen(everyone, None)
        if _OTHERS.search(text):
            return None
        asks = "All of them?" if number > len(everyone) else f"Which {many[1].lower()}? Name them."
        if many[1].lower() == "both":
            asks = f"There are {len(everyone)} of them: which two? Name them."
        return Chosen((), None, asks=asks)
    if _EVERYONE.search(text):
        return Chosen((), None, asks=REALLY_ALL) if _tells_a_story(text) else Chosen(everyone, None)
    return None


def _tells_a_story(text: str) -> bool:
    """Whether words stand there that are neither of the trade nor of every sentence: all of them
    into my pocket.
    """
    rest = _EVERYONE.sub(" ", text.lower())
    words = [mended(word) for word in re.findall(r"[a-z]{3,}", rest) if word not in INTERJECTIONS]
    return not re.search(r"[\d/=]", text) and any(
        word not in COMMON and not meanings_of(word) for word in words
    )


def _placed(text: str, parts: Sequence[Capacitor]) -> tuple[str, ...]:
    """By place in the order of the text, which is that of the drawing."""
    names = [c.name for c in parts]
    if _FIRST_AND_LAST.search(text):
        return (names[0], names[-1])
    ordinals = [_ORDER[word.lower()] for word in _ORDINAL.findall(text)]
    if len(ordinals) > 1 and max(ordinals) < len(names):
        return tuple(name for n, name in enumerate(names) if n in ordinals)
    found = _PLACES.search(text)
    if found is None or re.search(f"(?i){_BOTH_ENDS}", text):
        return ()
    if _AS_ORDER.search(found[0]):
        return ()
    word = found[2].lower()
    counted = (found[1] or found[3] or "").lower()
    is_several = bool(counted) or re.search(r"(?i)\bones\b|\bcaps\b|\bcapacitors\b", found[0])
    number = _SMALL.get(counted, 2)
    if not is_several or number > len(names) or (word in ("end", "ends") and len(names) < 3):
        return ()
    if word in ("first", "left", "beginning", "start"):
        return tuple(names[:number])
    if word in ("last", "right", "final"):
        return tuple(names[-number:])
    if word in ("end", "ends", "outer", "outside"):
        return (names[0], names[-1])
    spare = len(names) - number
    return tuple(names[spare // 2 : spare // 2 + number]) if spare and spare % 2 == 0 else ()


_SIZED = re.compile(
    r"(?i)\b(?:the\s+)?(?:(?P<many>two|three|2|3)\s+)?"
    r"(?P<size>small(?:er|est)?|little|bigg?(?:er|est)?|larg(?:e|er|est))\b"
)


_EQUALS = re.compile(
    r"(?i)\b(?:the|both|all)\s+(?:\w+\s+)?(?:equal|identical|alike|same[\s-]sized?)\b"
)


def _by_size(text: str, network: Network) -> Chosen | None:
    """The small one and the big one, the two smaller ones: where the values tell them apart."""
    parts = network.capacitors
    if _EQUALS.search(text):
        alike = [[c.name for c in parts if c.value == value] for value in {c.value for c in parts}]
        several = [names for names in alike if len(names) > 1]
        return Chosen(tuple(several[0]), None) if len(several) == 1 else None
    if any(in_letters(c.value) for c in parts) or len({c.value for c in parts}) < len(parts):
        return None
    ordered = sorted(parts, key=lambda c: c.value)
    meant: set[str] = set()
    for found in _SIZED.finditer(text):
        many = _SMALL.get((found["many"] or "").lower(), 1)
        is_small = found["size"].lower().startswith(("s", "li"))
        meant |= {c.name for c in (ordered[:many] if is_small else ordered[-many:])}
    names = tuple(c.name for c in parts if c.name in meant)
    return Chosen(names, None) if len(names) > 1 else None


_MEETING = re.compile(
    r"(?i)\b(?:ones?|those|two|pair|caps?|capacitors?|both|all|everything)\b.*\b(?:touch\w*|meet\w*"
    r"|join\w*|attach\w*|connect\w*|hang\w*|at|on|between|from)\s+(?:the\s+)?(?:points?\s+|node\s+|to\s+)?"
    r"(?P<points>\w+'*(?:\s*(?:and|&|to|,)\s*\w+'*)?)\W*$"
)


def _at_points(text: str, network: Network) -> Chosen | None:
    """The ones that touch P, the ones between P and B: where just two or only such are there."""
    found = _MEETING.search(text)
    points = set(points_in(found["points"], network)) if found is not None else set()
    if not points:
        return None
    names = tuple(c.name for c in network.capacitors if points <= c.points)
    if len(names) < 2:
        return None
    if len(points) == 1 and len(names) > 2:
        return Chosen((), None, asks=f"{len(names)} of them do. Which of those? Name them.")
    return Chosen(names, None)


# More than that some are in series: how many these are, or where they stand.
_TELLS_WHICH = re.compile(
    rf"(?i)\b(?:{_HOW_MANY}|pair|couple|all|every\w*|brackets?|parenthes\w+|branch|top|bottom|stacked"
    r"|above|remaining|left|bit|part|section|set|group|between)\b"
)


def _formed(text: str, network: Network) -> Chosen | None:
    """The ones in parallel, in the brackets, in series: where only one set is."""
    if _A_BRANCH.search(text):  # what is one after the other within a branch
        within = [each.names for each in choices(network) if each.kind == "series"]
        if len(within) == 1:
            return Chosen(within[0], "series")
    for kind, words in _FORM_WORDS.items():
        if not words.search(text):
            continue
        sets = [each.names for each in choices(network) if each.kind == kind]
        if len(sets) == 1 and (kind == "removal" or _TELLS_WHICH.search(text)):
            return Chosen(sets[0], kind)
        return Chosen((), kind, asks="Which ones are those? Say their names.")
    return None
