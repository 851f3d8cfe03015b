"""What is said of one, of a pair or of all so far, in the words that the rest of this room knows.

Each of these wordings was once passed over in part, so that another network was read: a pair of two
that differ, a p.d. between the plates of one, a name between commas, plates that meet.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Final

from grammar.spoken_numbers import ONES

_WORTH: Final = r"(?<![0-9.])[0-9]*\.?[0-9]+ ?-?(?:[unp]F|(?:micro|nano|pico)-?farads?)\b"
_VOLTS: Final = r"[0-9]*\.?[0-9]+ ?-?k?(?:V|volts?)\b"
_CAP: Final = r"(?:capacitor|condenser|cap|one)"
_ONE: Final = rf"(?:the (?:{_WORTH}|first|second|third|last)(?: {_CAP})?|C_?[0-9a-z])"
_SIGN: Final = r"(?:plus|minus|positive|negative)"
_PART: Final = r"(?: (?:plate|side|terminal|end|pole|lead|leg)s?)?"
_UNREAD: Final = r"(?:smudged|blurred|unreadable|illegible|unmarked|worn off|faded|rubbed off)"
_IS_OFF: Final = (
    r"(?:has |is |was )?(?:come off|fallen off|gone|unreadable|worn off|rubbed off|missing"
    r"|burnt off|burned off|illegible|torn off)"
)
_RATED: Final = re.compile(r"(?i)\brat(?:ed|ings?)\b|\bmax|\bwithstand|\bat most\b|\bbreak")


def _over_one(said: re.Match[str]) -> str:
    """Where ratings are told, what one has, and not across it, may be what it bears."""
    bears = _RATED.search(said.string) and not re.search("(?i)across|over|between", said[0])
    return said[0] if bears else f"the p.d. across {said['one']} is {said['volts']}"


def _in_the_unit_told(said: re.Match[str]) -> str:
    """``another 10``, where a 10 uF was told: the same again."""
    number = re.escape(said["number"])
    told = re.search(
        rf"(?i)(?<![0-9.]){number}(?P<unit> ?-?(?:[unp]F|(?:micro|nano|pico)-?farads?))\b",
        said.string,
    )
    return f"{said[0]}{told['unit']}" if told else said[0]


_PART_OF: Final = r"(?:an? |one[ -])?(?P<part>half|third|quarter|fourth|fifth|tenth)(?: of)?"
_BEFORE: Final = r"(?: (?:original|first|old|former|initial|previous|earlier))?"
_PARTS: Final[Mapping[str, int]] = {
    "half": 2, "third": 3, "quarter": 4, "fourth": 4, "fifth": 5, "tenth": 10,
}  # fmt: skip


def _gap_in_parts(said: re.Match[str]) -> str:
    """A gap that is made a part of what it was."""
    return f"gap becomes times_1/{_PARTS[said['part'].lower()]}"


_IN_BRANCHES: Final = re.compile(
    rf"(?i)\b(?:[a-z]+|[0-9]+) {_CAP}s,? (?:each|all)(?: is| are| has)?(?: of)? "
    rf"(?P<worth>{_WORTH}),?"
    r"(?: are)?(?: connected| joined| arranged| wired)?(?: as follows| like this| so)?[:.,]"
    r" (?P<listed>[^.;:?]*)\. (?P<all>the (?:two|three|four|five) branches) are (?:then )?"
    r"(?:connected"
    r" |joined |put )?in parallel\b"
)
_ONE_BRANCH: Final = re.compile(
    r"(?i)(?:the (?:remaining|last|other) )?(?P<many>one|two|three|four|five|six)(?: of them)?"
    r"(?P<way> in series)? (?:forms?|makes?|(?:is|are)(?: in)?) (?:an?|one|the)(?: \w+)? branch"
)


def _branches(said: re.Match[str]) -> str:
    """Branches of capacitors that are all alike, told first and joined after."""
    told = re.split("(?i),? and |, ", said["listed"].strip())
    found = [_ONE_BRANCH.fullmatch(each) for each in told]
    listed = [f"{e['many']} {said['worth']}{e['way'] or ''}" for e in found if e is not None]
    if len(listed) < max(2, len(told)):
        return said[0]
    first, last = ", ".join(listed[:-1]), listed[-1]
    return f"{said['all'][4:].capitalize()} are in parallel: {first}, and {last}"


def _from_point_to_point(said: re.Match[str]) -> str:
    """``3 uF in AB``, where three or more are told so."""
    told = re.findall(
        r"F(?: capacitor)? (?:in|along) (?:arm |side |branch )?[A-H]{2}\b", said.string
    )
    if len(told) < 3:
        return said[0]
    return f"{said['worth']} from {said['a']} to {said['b']}"


_WITH_ITS_RATING: Final = re.compile(r"(?<=F) (?:at|for|up to) (?=[0-9])")
_OF_A_FILLING: Final = re.compile(r"(?i)\blayers?\b|permittivity|dielectric|\bthick|\bfoil")
_DONE_AFTER: Final = re.compile(
    r"(?i)\b(?:then|disconnect|remov|join|reconnect|separat|taken?\b|unhook|wired? again|after"
    r"|connect|charged|shar|\bput\b|attach|add|fill|slab|dielectric|switch|open|gap|plates)"
)


def _charged_so(said: re.Match[str]) -> str:
    """What is charged as it stands has the p.d. across it, where nothing is done to it later."""
    if _DONE_AFTER.search(said.string, said.end()):
        return said[0]
    return f"in {said['way']} across {said['volts']}."


def _one_charged(said: re.Match[str]) -> str:
    """``charge the 7 to 20 V, leave the 3 empty``, where a 7 uF and a 3 uF were told."""
    values = []
    for each in (said["one"], said["other"]):
        told = re.search(rf"(?<![0-9.]){re.escape(each)} ?[unp]F", said.string)
        if told is None:
            return said[0]
        values.append(told[0])
    return f"The {values[0]} is charged to {said['volts']}, the {values[1]} is uncharged"


_ROWS: Final[tuple[tuple[str, str | Callable[[re.Match[str]], str]], ...]] = (
    # What a text is brought in with.
    (r"\A\s*(?:here is )?(?:(?:(?:an?|the|my|our|next|quick|easy|old|forgotten|little) )*"
     r"(?:question"
     r"|problem|task|note|picture|drawing|sketch|exercise|example)|(?:next|quick) one)(?: for "
     r"(?:[a-z]+"
     r" ){0,6}[a-z]+)?(?: (?:says|reads))?(?: (?:only|just))?: ", ""),
    (r"(?<![^.;?!] )(?<![^.;?! ])(?:[a-z]+ )?[a-z]+ (?:finds?|found|sees?|saw|draws?|drew|meets?"
     r"|has"
     r"|had|gets?|got) (?:an?|this|the following) (?:\w+ )?(?:ladder|network|circuit|arrangement"
     r"|combination)(?: (?:on|in) (?:the|an?|his|her|my|our) \w+)?: (?=from (?:the )?)", ""),
    (r"(?: in an? (?:\w+ )?(?:circuit|exercise|drawing|sketch))? on paper(?= *(?:[.;?]|we\b|uses?\b"
     r"|$))", lambda said: said[0] if _OF_A_FILLING.search(said.string) else ""),
    (r"(?<=V) in an? (?:(?:small|big|old|little) )?(?:torch|lamp|radio|flash|toy|receiver|set"
     r"|device"
     r"|instrument)(?=[.;])", ""),
    # Two that differ are the pair, and not two of the first.
    (rf"\b(pair|couple|brace) of (?={_WORTH}(?: and|,| &) {_WORTH})", r"\1 made of "),
    # A p.d. between the plates of one is its own.
    (rf"\b(?P<one>{_ONE}) (?:has|gets|shows|sees|bears|carries) (?:an? )?(?:(?:p\.?d\.?|voltage"
     rf"|potential difference|tension) of )?(?P<volts>{_VOLTS})(?: (?:across|over|between|on) (?:it"
     r"|(?:its|the|both(?: its)?|the two) (?:terminals|plates|ends|leads|legs)))?"
     r"(?=\s*(?:[.;?]|$))", _over_one),
    # An unknown X.
    (r"\b(?:an? |the )?unknown (?P<name>(?-i:[A-BD-PR-TW-Z]))(?= (?:is|in|and|joined|connected|goes"
     r"|sits)\b)", r"an unknown capacitor \g<name>"),
    # A name between commas.
    (rf"\banother (?={_CAP},? (?-i:[B-Z])(?:,| ?=))", "a "),
    (rf"\b(?P<before>{_CAP}s?|and|with|another|third|second|first),? (?P<name>(?-i:[B-Z])),"
     rf" (?:of|which (?:is|has)|with|having|being)(?: an?)?(?: (?:value|capacitance) of)?"
     rf" (?P<worth>{_WORTH}),?", r"\g<before> \g<name> = \g<worth>"),
    (rf"\b(?P<before>{_CAP}s?|and|with) (?P<name>(?-i:[QV])) of (?P<worth>{_WORTH})",
     r"\g<before> \g<name> = \g<worth>"),
    (r"\b(?:another|an extra|an additional|a fifth) (?P<number>[0-9.]*[0-9])(?= (?:across|along"
     r"|over|from|between|joins|goes|in|on)\b)", _in_the_unit_told),
    # Plates that meet.
    (rf"\b(?:the )?(?P<one>{_SIGN}){_PART} (?:then )?(?:met|meets?|touche[sd]|touch|found|finds"
     r"|(?:is|was|are|were) (?:then )?(?:brought|led|pressed|held|laid|put|tied|wired)) ?(?:to|on"
     r"|onto|against|with|together with)? ?(?:the )?(?:other )?"
     rf"(?P<other>{_SIGN})\b{_PART}", r"\g<one> is joined to \g<other>"),
    # Plates that attract each other, that are moved until so much, and that stand in a stack.
    (r"[,.]? (?:and )?with (?:what|which|how much) force (?:do|does|will|would|must) (?:the |these "
     r"|its |their )?(?:two )?plates (?:attract|pull)(?: (?:on )?(?:each other|one another))?",
     ". What is the force between the plates"),
    (r"\b(?P<verb>turns?|winds?|moves?|pulls?|push(?:es)?|slides?|screws?|draws?|press(?:es)?)\b"
     r"(?: [a-z]+){1,6} until (?:the|their) (?:gap|separation|distance|spacing)(?: between them| of"
     r" the plates)? (?:is|becomes|measures) (?=[0-9])", "changes the gap to "),
    (r",? (?:and )?(?:every (?:second|other) (?:one|plate)|alternate (?:ones|plates)) (?:is |are "
     r"|being )?(?:joined|connected|wired) (?:together|to (?:the same|one|a common) (?:terminal"
     r"|side|lead|pole|wire))", ""),
    (r" (?:when|if|with) (?:its|the|all) plates (?:are )?(?:fully |completely |all )?(?:turned in"
     r"|meshed|interleaved|in mesh)\b", ""),
    # A cable by its conductor and its screen.
    (r"\b(?:an? |the |its )?(?:inner |central |core )?(?:conductor|wire|core) (?:of|with|having"
     r"|has) (?:an? )?radius(?: of)? (?=[0-9][^?]{,80}\b(?:screen|sheath|shield|braid|outer)\b)",
     "an inner radius of "),
    (r"[;,.] (?:and )?(?:the )?(?:inside|inner (?:side|face|surface)) of (?:its|the) (?:screen"
     r"|sheath|shield|braid|outer conductor) (?:has|is of|with) (?:an? )?(?:inner )?radius(?: of)?"
     r" ", " and an outer radius of "),
    (r" \((?P<what>(?:relative )?permittivity|dielectric constant)(?: of| is| =)*"
     r" ?(?P<k>[0-9.]+)\)(?=[^?]{,200}\bcable\b)", r" of \g<what> \g<k>"),
    (r"\bcable (?:is|measures) (?P<long>[0-9.]+ ?k?m)(?: long| in length)?[.;,] ?(?:and )?"
     r"(?=the radius|an inner)", r"cable of length \g<long> has "),
    (r"\bthe radius of (?:its|the) (?:inner )?(?:core|conductor|wire)(?: is| =)? (?=[0-9][^?]{,80}"
     r"\b(?:screen|sheath|shield|braid|outer)\b)", "an inner radius of "),
    (r"[;,.] (?:and )?(?:the )?inner radius of (?:its|the) (?:screen|sheath|shield|braid|outer"
     r" conductor)(?: is| =)? (?=[0-9])", " and an outer radius of "),
    (r"[,.;] (?:and )?the (?:insulation|insulator|material|dielectric|space)(?: (?:between (?:them"
     r"|the two)|in between))? has (?:an? )?(?P<what>relative permittivity|dielectric constant)(?:"
     r" of"
     r"| is)? (?=[0-9.]+[^?]{,200}\bcable\b)", r". The space between is filled with plastic of"
     r" \g<what> "),
    (r"(?<=capacitance) of (?:the|this) (?:\w+ )?cable\b(?= *(?:[.?]|$))", ""),
    # The constant that everybody knows.
    (r"\(?(?:(?:take|use|given|with) )?(?:permittivity|epsilon|eps|e)[ _]?0 ?= ?8\.8[0-9]* ?(?:"
     r"(?:x|\*|\u00b7)"
     r" ?10 ?\^? ?|e)-12 ?F ?(?:/ ?m|\.? ?m ?(?:\u207b\u00b9|\^? ?-1))\b\)?[.;]?", ""),
    (r" of (?:this|the) (?:length|piece) of (?:the |this )?cable\b", ""),
    # One that is not marked.
    (rf"\b(?:the one|one|(?:the|an?) {_CAP}) (?:without (?:an?|its) label|whose (?:print|label"
     r"|marking|value|number) (?:can no longer|cannot|can not|can't) be (?:read|seen|made out)"
     rf"|(?:that|which) (?:is|was|has been) {_UNREAD})", "an unknown capacitor"),
    (rf"\bthe {_UNREAD} (?:one|capacitor|condenser|cap)\b", "the unknown one"),
    (rf"\bthe (?:label|print|marking) (?:of|on) one of (?:the |my )?two c\w+ {_IS_OFF}[.,;] ?", ""),
    (rf"\bthe (?:label|print|marking) (?:of|on) (?:one|an?) c\w+(?: in (?:the|an?|my) \w+)?"
     rf" {_IS_OFF}"
     r"[.,;] ?it (?=sits|is|stands|lies)", "An unknown capacitor "),
    (r"\bwhat (?:should|must|is to|ought to) be (?:written|printed|put) on (?:the|its|a) "
     r"(?:new )?label\b|\bwhat (?:was|is|stood) (?:the (?:value|number) )?on (?:the|its) label\b",
     "What is the unknown one"),
    (rf",? and (?:the|a|my) meter (?:shows|reads|gives|measures) (?P<worth>{_WORTH})(?: (?:for"
     rf"|across"
     r"|on|over) (?:the two|them|both|all|the pair)(?: together)?)?", r". The total is \g<worth>"),
    (r"(?P<all>\b(?:two|three|four|five) capacitors) in (?P<way>series|parallel), (?=[^.;?]"
     r"{0,80}\bunknown\b)", r"\g<all> are in \g<way>: "),
    (r" in an? (?:old )?(?:instrument|radio|receiver|amplifier|set|device)(?= in (?:series"
     r"|parallel)\b)", ""),
    # Ends and arms that are told by where they lie.
    (rf"(?P<worth>{_WORTH})(?: {_CAP})? (?:in|along) (?:(?:the )?(?:arm|side|branch) )?(?P<a>"
     rf"(?-i:[A-H]))"
     r"(?P<b>(?-i:[A-H]))\b", _from_point_to_point),
    (r"\b(?:(?:two|three|four|five|six) capacitors )?(?:are )?(?:connected |joined )?(?:to form|as"
     r"|in)"
     r" an? (?:bridge|square|quadrilateral|ring)(?: (?-i:[A-H]{4}))?[,:;]? (?:with )?(?=[0-9.]+"
     r" ?[unp]F"
     r" (?:from|between) (?-i:[A-H])\b)", ""),
    (rf"(?P<from>\b(?:from|between) (?-i:[A-H]) (?:to|and) (?-i:[A-H]) there (?:is|are)) (?:two"
     rf"|three"
     rf"|four|[2-4])(?: of (?:them|these)| capacitors)? in parallel[:,] (?={_WORTH}(?:,| and| &))",
     r"\g<from> "),
    # Groups told in turn, each of them joined in the same way.
    (rf"\btwo (?P<way>parallel|series) (?P<noun>group|pair|bank|block)s in (?P<all>series"
     rf"|parallel)[:.]"
     rf" (?:the )?first(?: (?P=noun))?(?: is| has|:)? (?P<one>{_WORTH}(?:, {_WORTH})* and"
     rf" {_WORTH})[,;]"
     rf" (?:and )?(?:the )?second(?: (?P=noun))?(?: is| has|:)? (?P<two>{_WORTH}(?:, {_WORTH})* and"
     rf" {_WORTH})", r"Two groups in \g<all>: the first is \g<one> in \g<way>, the second is"
     r" \g<two>"
     r" in \g<way>"),
    (rf"\b(?:three|four|five|[3-5]) in a row: (?={_WORTH},? then )", ""),
    (rf"(?<!is )(?<!are )(?<!was )(?<!= )(?<!=)\b(?P<many>two|three|four|five) times"
     rf" (?P<worth>{_WORTH})(?= in (?:series|parallel)\b)", r"\g<many> \g<worth>"),
    (r"(?P<way>in (?:series|parallel)),? what (?:have|do) (?:you|we|i)(?: got| get| have)? ?(?=\?)",
     r"\g<way>. What is the total capacitance"),
    (r"\bin (?P<way>parallel|series),? and charge(?:d|s)?(?: them| both| the (?:pair|two|lot))?(?:"
     r" up)?"
     rf" (?:to|with|from) (?P<volts>{_VOLTS})", _charged_so),
    # Charged ones that are joined.
    (rf"\bcharge (?:the )?(?P<one>[0-9.]+)(?: ?[unp]F)?(?: {_CAP})? (?:up )?to "
     rf"(?P<volts>{_VOLTS}),? (?:and"
     r" )?(?:leave|keep) (?:the )?(?P<other>[0-9.]+)(?: ?[unp]F)?(?: one)? (?:empty|uncharged"
     r"|discharged"
     r"|flat)", _one_charged),
    (r"\b(?:two|three|four|five) (?:friends|pupils|students|learners|children|people) (?:each"
     r" )?charge an?"
     r" capacitor(?: each)?[:.] ?", ""),
    (rf"\b[a-z]+'s (?:one )?(?:is|has) (?={_WORTH} (?:at|charged to) {_VOLTS})", ""),
    (r"\bjoins? them (?:again )?the wrong way (?:round|around),? plus to minus(?: at both ends)?",
     "joins them again plus to minus"),
    (r"(?<!\w)\+ of (?:the )?(?:one|first)(?: one)? (?:goes|is joined|is connected) to (?:the )?-"
     r" of (?:the)?"
     r" ?other(?: one)?", "the plus of one is joined to the minus of the other"),
    (r"\bratings?: (?P<list>(?:[^.?;]|\.(?=[0-9]))*)",
     lambda said: _WITH_ITS_RATING.sub(" rated ", said["list"])
     if _WITH_ITS_RATING.search(said["list"]) else said[0]),
    (r"\b(?P<what>voltage|p\.?d\.?|charge|energy|capacitance) now(?= and\b)", r"\g<what>"),
    # What is done to the plates, and what fills the gap.
    (r"\bdielectric of (?=(?:[0-9.]+|two|three|four|five|six|seven|eight|nine|ten) (?:now )?"
     r"(?:fills|is"
     r" (?:put|slid|inserted|pushed)|goes|between|in)\b)", "dielectric of constant "),
    (r"(?<=dielectric of constant )(?:two|three|four|five|six|seven|eight|nine|ten)\b",
     lambda said: str(ONES[said[0].lower()])),
    (rf"\bplates (?:are|were|get) (?:[a-z]+ly )?(?:pushed|pressed|moved|brought|slid|squeezed)(?:"
     rf" closer"
     rf"| together| in)* (?:to|until they are(?: at)?) (?:only )?{_PART_OF} (?:the|their){_BEFORE}"
     rf" (?:gap"
     r"|separation|distance|spacing)", _gap_in_parts),
    (rf"\b(?:gap|distance|separation|spacing)(?: between (?:them|the plates)| of the plates)? "
     rf"(?:is|gets"
     r"|was)(?: then| now)? (?:made|reduced|decreased|brought|changed|cut|shrunk)(?: down)?(?:"
     r" to)?(?: only)?"
     rf" {_PART_OF} (?:its|the|their){_BEFORE} (?:value|size|width|distance|separation|gap)",
     _gap_in_parts),
    (r"\b(?P<gap>distance|gap|separation|spacing) (?:is|becomes|gets|was) (?:now )?"
     r"(?P<many>[0-9.]*[0-9])"
     r" ?x(?= *(?:[.,;?]|$))", r"\g<gap> becomes \g<many> times"),
    (r"\b(?:the )?(?:two |both |metal )?plates of an? (?:[\w-]+ )?capacitor are (?:[a-z]+ ){1,3}of"
     r" (?=[0-9.]+ ?[cm]?m)",
     "A capacitor has plates of "),
    (r"\b(?:moves|pulls|draws|pushes) the (?:plates|trays|sheets|discs|lids|foils) (?:apart"
     r"|together"
     r"|closer) until the gap is (?=(?:[0-9.]+|two|three|four|five|ten) times as (?:wide|large"
     r"|big))",
     "makes the gap "),
    (r",? and covers? (?:all|the whole|the whole area|all the area)(?: of)? (?:their|the)(?:"
     r" plate)?"
     r" (?:area|plates)\b", ""),
    (r"(?<=takes up )just (?=half|a |one )", ""),
    (r"\b(?P<what>an? (?:[a-z]+ )?(?:plate|sheet|slab|block|foil)),? whose thickness is (?P<part>"
     r"(?:an?|one)"
     r" (?:half|third|quarter|fifth)|half) (?:of )?(?:the plate separation|the gap|the distance"
     r" between"
     r" the plates|that of the gap),? is (?:placed|slid|inserted|put|pushed|introduced)(?: in|"
     r" into)?"
     r" (?:between the plates|the gap)(?:, parallel to them)?(?: (?:and|but) without touching "
     r"(?:them"
     r"|either))?", r"\g<what> fills \g<part> of the gap"),
    (r"\bon the lower plate (?:lies|is) (?=an? (?:layer|sheet|slab)\b)", "There is "),
    (r",? and on (?:the \w+|it|top of it)(?: lies| is)? (?=an? (?:layer|sheet|slab)\b)", ", and "),
    (r"(?<=[.;] )(?:the two|both|they|these)(?: layers| sheets)?(?: together)? fill (?:up )?the "
     r"(?:whole"
     r" )?(?:gap|space)[.;] ?", lambda said: "" if "layer" in said.string else said[0]),
    # A ladder by its rungs, or by what each section has.
    (rf"\beach rung is an? (?P<down>{_WORTH})(?: {_CAP})?(?: between the (?:top|upper) and the "
     rf"(?:bottom"
     rf"|lower) (?:rail|wire|line))?,? and (?:before|in front of) (?:each|every) rung (?:there is"
     rf"|comes|lies"
     rf"|sits|is) an? (?P<along>{_WORTH})(?: {_CAP})?(?: in the (?:top|upper) (?:rail|wire|line))?",
     r"each section has a series capacitor of \g<along> and a shunt capacitor of \g<down>"),
    (rf"\b(?:identical|equal) capacitors,? (?:each )?of (?:capacitance )?(?P<worth>(?-i:C)\b"
     rf"|{_WORTH})[:;.,]"
     r" (?:in )?each section(?: has)? one(?: capacitor)? (?:is )?in series in the (?:upper|top) "
     r"(?:line|wire"
     r"|rail) and one (?:is )?(?:connected )?(?:after it )?from the (?:upper|top) (?:line|wire"
     r"|rail)? ?to the"
     r" (?:lower|bottom) (?:line|wire|rail)",
     r"sections, each of a series capacitor of \g<worth> and a shunt capacitor of \g<worth>"),
    # Shared ends, and the ends of what stands so far.
    (r"\b(?:shares?|has) (?:(?:its|both|their|the|same|two) )+(?:ends|terminals|points|nodes)"
     r" (?:in common )?with\b", "is in parallel with"),
    (r"\b(?:over|across) the (?:two )?(?:terminals|ends|leads) of (?P<whom>the (?:box|pair|group"
     r"|block|whole|lot|two|chain|string|combination|arrangement))\b",
     r"in parallel with \g<whom>"),
    (rf"\b(?:then|and|finally|lastly)(?: finally| lastly| at last)?,? (?P<what>an? {_WORTH}"
     rf"(?: {_CAP})?) (?:goes |is (?:put |placed |wired )?)?(?:across|over|between) the (?:two "
     r"|outer |outside )?(?:ends|terminals)(?= *(?:[.;?,]|$))",
     r". \g<what> is in parallel with the whole"),
    # Overall it is 6 uF.
    (r"(?P<end>[;,.]) (?:and )?overall,?(?: capacitance)?(?: (?:it|that|this|they|is|are|=))*"
     r" (?=[\w.]+[ -]?(?:[unp]F|(?:micro|nano|pico)-?farads?)\b)", r"\g<end> total "),
    # In series after them; after that, again in series.
    (r"\bin series (?:after|behind|before|past|following) (?P<what>them|that|this|it|these)\b",
     r"in series with \g<what>"),
    (r"\b(?:after|behind|before) (?P<what>them|that|this|it|these),? (?:(?:again|also|once more"
     r"|then|still),? )+in series,? ", r"in series with \g<what> "),
    # What comes after all of it, and what all of it is fed through.
    (rf"(?P<what>\ban? (?:{_WORTH}|[0-9.]*[0-9])(?: {_CAP})?) follows (?:after )?(?:them|these two"
     r"|both|this|that|the (?:two|pair)|these)(?=\s*(?:[.,;]|and\b|$))",
     r"\g<what> is in series with them"),
    (rf"(?:,? (?:and )?then (?:led|leads|takes?|took|runs?|ran)|[.;,]? ?\b(?:and )?(?:then )?) ?the"
     r" (?:plus |positive |supply |battery |feed )?(?:wire|lead|line|cable)(?: (?:from|to|of) the"
     r" (?:plus|battery|supply|source))? (?:(?:then )?(?:is |was )?(?:led|goes|runs|passes|comes"
     rf"|leads|taken|run|brought) )?through (?P<what>an? {_WORTH})",
     r". \g<what> is in series with the whole"),
    (rf"\b(?:are|is) (?:all )?(?:fed|supplied|charged|powered) through (?=an? {_WORTH})",
     "in series with "),
    (r"\bthe (?:network|group|circuit|combination|arrangement|part|block) (?:so|thus)"
     r" (?:formed|made|obtained|built)\b", "the whole"),
    (r"\b(?P<which>the|this|that) (?:entire|complete|full)(?= (?:assembly|thing|construction"
     r"|structure|build))", r"\g<which> whole"),
)  # fmt: skip
_PLAINER: Final = tuple((re.compile(f"(?i){said}"), put) for said, put in _ROWS)


def in_plainer_words(text: str) -> str:
    """The text with such wordings in known words."""
    text = _IN_BRANCHES.sub(_branches, text)
    for pattern, put in _PLAINER:
        text = pattern.sub(put, text)
    return text
