"""Several words that are one concept, or none."""

from __future__ import annotations

import re
from collections.abc import Mapping

_EACH_OTHER = "(?:each ?other|one another|eachother)"
_LOT = (
    "(?:lot|thing|network|circuit|combination|arrangement|set|group|assembly|set-?up|system|mess|"
    "bunch|array|combo|configuration|chain|row|stack|bank)"
)
_DRAWN = "(?:the )?(?:figure|fig\\.?|diagram|picture|drawing|sketch)"
_ONE_SIGN = "(?:plus|positive|minus|negative)(?:es|s)?"
_JOINED = "(?:(?: is| are)? (?:joined|connected|linked|wired|attached))?"
_PULL = (  # what hands do to take something off
    "(?:pull|yank|cut|snip|rip|tear|tore|torn|take|took|taken|unplug|slip|lift|pluck|snatch|knock"
    "|break|broke|chop|undo|undid|undone|unscrew|release|wrench)(?:s|p?ed|ped|ging|ping|ing|ged|es|d)?"
)
_WHOSE = "(?:(?:the|its|his|her|my|our|their|both|one|of|a|two) )*"
_PLATES = "(?:plates?|terminals?|poles?|sides?|ends?|legs?|leads?|pins?)"
# A pole that is said of a supply, or of nothing: not the plate of a capacitor.
_NO_CAPS = (
    "(?!(?: (?:side|pole|terminal|end))? of (?:each|one|both|it\\b|C|an?\\b"
    "|the (?!battery|cell|supply|source|pack)))"
)
# One row a wording; NOISE carries nothing. Earlier rows stand before those they begin like.
_IDIOMS: Mapping[str, tuple[str, ...]] = {
    "DISCHARGING": (
        "discharg\\w*(?: itself)? (?:through|via|over|into|across) (?:a|an|the|its|some|his|my)",
        "r(?:u|a)ns? down", "running down", "leak(?:s|ed|ing)?(?: away)?",
    ),
    "SER": (
        "(?:one|1) (?:after|behind) (?:(?:the )?other|another)",
        "(?<!volts )(?<!V )end[- ]to[- ]end", "nose[- ]to[- ]tail",
        "in (?:a|one|1) (?:row|line|chain|string|queue|column)",
        "one after one", "in line", "in row", "in reihe",
        "back[- ]to[- ]back", "(?:one|each) following the (?:other|last)", "head[- ]to[- ]tail",
        "in a single (?:file|line|row)",
            "in (?:tandem|cascade|succession)", "daisy[- ]chain(?:ed)?",
    ),
    "PAR": (
        "side[- ]by[- ]side", f"(?:beside|alongside) {_EACH_OTHER}",
        "one (?:above|below|under|over|on top of) (?:the other|another)", f"across {_EACH_OTHER}",
        f"(?:on top of|above|below|under) {_EACH_OTHER}",
        f"stacked (?:up )?(?:above|over) {_EACH_OTHER}",
        "between (?:the (?:same )?)?(?:two )?"
        "(?:points|wires|rails|bus ?bars|bars|lines)(?! [A-Za-z0-9]\\b)",
        "stacked(?! in| on| end| up)", "in (?:shunt|parallel|derivation)",
        "between (?:the )?(?:top|upper|bottom|lower|left|right|two|same)(?: (?:wire|rail|line)s?)?"
        "(?: and (?:the )?(?:top|upper|bottom|lower|left|right)(?: (?:wire|rail|line))?)",
        "shar(?:e|es|ing) (?:both |the same )?(?:of )?(?:their |two"
        " )?(?:ends|points|terminals|nodes)",
        "from (?:the )?(?:top|upper|left|one) (?:wire|rail|line|terminal|end|pole)"
        " (?:straight |down |up |over )*to (?:the )?(?:bottom|lower|right|other)"
        "(?: (?:wire|rail|line|terminal|end|pole|one))?",
        "(?:at|on) (?:the )?top and (?:at |on )?(?:the )?bottom", "at both ends",
        "(?:whose|their|with) ends (?:are )?(?:tied|joined|connected)(?: together)?",
        "(?:the )?top ends (?:are )?(?:joined|tied|connected),? and (?:so are )?"
        "(?:the )?bottom ends"
        "(?: are)?(?: joined| tied| connected)?(?: too)?",
        "like (?:the )?rungs(?: of a ladder)?", "like fence ?posts",
    ),
    "CHGN": ("(?<=how much )load", "load(?= (?:of|on|in) (?:the|each|every|all|both|a|c))",),
    "CEQ": (
        "(?:single|one) (?:capacitor|cap|condenser)(?= (?:(?:that|which) )?(?:(?:could|would|can"
        "|will|may|to) )?(?:replaces?|stand in|do the (?:same )?job|take the place))",
        "load(?= capacitance| is| does|\\?)",
    ),
    "SIDE": ("(?:left|right)[- ]hand", "(?:left|right)(?= (?:block|group|pair|branch|half|one))"),
    "HOWTO": (
        "how (?:to|can|could|do|would|should|might) (?:(?:i|you|one|we|she|he|they|these|them|it"
        "|all|of|be|the"
        "|two|three|four|capacitors) )*(?:get|make|obtain|produce|connect|join|arrange"
        "|combine)(?:ed|d|ned|ted)?",
    ),
    "TAKENBACK": (
        "(?:(?:oh|ah|oops|um|no|sorry|actually),? )*(?:no,? wait|wait,? no|hang on|scratch that"
        "|strike that|make that|my bad|correction|i meant?|actually,? no|no,? actually)"
        "(?:,? (?:no|sorry|its|it's|i meant?)(?! [a-z]+ in))?",
        "oops", "sorry", "wait",
    ),
    "NEXTTO": (f"next to {_EACH_OTHER}", "next to(?= (?:an? |the )?[0-9])"),
    "SOARE": ("so (?:is|are)",),
    "TOGETHER": (f"(?:with|to) {_EACH_OTHER}", _EACH_OTHER),
    "AND": ("as well as", "along with", "and also", "and then also", "plus also"),
    "SERALL": (
        "(?:to|on) the (?:right|left)(?:[- ]hand side)? of "
        "(?:it|that|this|which|them|those|these)",
        "(?:before|after|behind|past|in front of|ahead of|following) "
        "(?:it|that|this|which|them|those|these|both|the (?:two|pair|three))"
        "(?: of them| one(?! of))?",
    ),
    "CALLED": ("(?:we |let's |i )?call(?:ed)? (?:them|these)(?: as)?",),
    "GROUP": ("something(?: else)?(?=,? (?:that|which) )",),
    "THEN": ("ahead of", "in front of", "at last", "next to (?:it|that|this|which|them)",),
    "SERSIGN": (
        "followed by",
        "(?:and )?(?:ends|ending|finishes|finishing|closes) with (?=an? |another |[0-9]|C_?[0-9])",
    ),
    "ACROSS": ("a?round(?= the (?:middle|first|second|third|last)| C_?[0-9]| (?:the )?[0-9])",),
    "CHARGED": (
        "charged (?:up )?(?:until|so that|such that|till) (?:the |its )?"
        "(?:p\\.?d\\.?|voltage|potential difference)(?: across it)?"
        " (?:is|reaches|becomes|has become)",
    ),
    "PARBY": (
        "(?:bridged|shunted|bypassed|paralleled|tapped across|strapped across) (?:by|with)?",
    ),
    "PERM": (
        "constant(?= (?:of |is |= ?)?[0-9]+(?:\\.[0-9]+)?(?: ?[.,;)]| in| is|$))",
        "di-?electric (?:constant|value|coefficient)", "rel(?:ative|\\.) permitt?ivity",
        "permitt?ivity", "(?:epsilon|er|eps)[_ ]?r?(?= ?=| ?of| ?[0-9])",
            "di-?electric (?:slab |material |sheet )?(?:of|with) (?:a )?constant",
    ),
    "PLATED": (
        "(?:plane |flat )?par+al+el+[- ]plate[sd]?(?= ?(?:capacitor|cap|condenser))",
        "plate(?= (?:capacitor|cap|condenser)\\b)",
        "air[- ](?:filled|spaced|gap)(?= |, C\\b)", "air(?= (?:capacitor|cap|condenser)\\b)",
        "parallel[- ]plated?(?= )", "with air(?=,)",
    ),
    "PLATE": ("parallel plates", "(?:metal|flat) plates"),
    "LIKEPL": (
        f"(?:positive|\\+|plus)(?: {_PLATES})?{_JOINED} (?:to|with|on) (?:the )?"
        f"(?:positive|\\+|plus)(?: {_PLATES})?(?:,? (?:and )?(?:negative|-|minus)(?: {_PLATES})?"
        f" (?:to|with|on) (?:the )?(?:negative|-|minus)(?: {_PLATES})?)?",
        f"{_PLATES} (?:of|with) (?:like|the same|equal) (?:signs?|polarit(?:y|ies)|charges?)",
        f"(?:like|same|equal)(?:ly)?(?:[- ]charged|[- ]sign)? {_PLATES}",
        "same (?:polarit(?:y|ies)|signs?(?: together)?|way (?:round|around))",
        "like (?:to|with) like",
        f"all (?:the )?{_ONE_SIGN}(?: {_PLATES})? (?:on|to) (?:one|a|the same) (?:wire|rail|side)"
        f"(?:,? (?:and )?all (?:the )?{_ONE_SIGN}(?: {_PLATES})? (?:on|to) (?:the other|another)"
        f"(?: (?:one|wire|rail|side))?)?",
        "like charges(?: connected| joined| together)*", "with the same polarity",
    ),
    "CROSSED": (
        f"(?:positive|\\+|plus)(?: {_PLATES})?{_JOINED} (?:to|with|on) (?:the )?"
        f"(?:negative|-|minus)(?: {_PLATES})?(?:,? (?:and )?(?:negative|-|minus)(?: {_PLATES})?"
        f" (?:to|with|on) (?:the )?(?:positive|\\+|plus)(?: {_PLATES})?)?",
        f"{_PLATES} (?:of|with) (?:opposite|unlike|different) (?:signs?|polarit(?:y|ies)|charges?)",
        f"(?:unlike|opposite(?:ly)?|different)(?:[- ]charged|[- ]sign)? {_PLATES}",
        "plus of (?:\\w+ )+?(?:with|to|on) (?:the )?minus of (?:(?!and\\b)\\w+ ?){1,3}",
        "(?:opposite|reversed?) polarit(?:y|ies)", "wrong way (?:round|around)",
        "the other way (?:round|around)", "opposite signs(?: together)?", "back to front",
        "(?:with )?(?:the )?polarity reversed",
    ),
    "UNCHARGED": (
        "with no charge",
        "(?:no|zero|without) (?:charge|load)", "initially uncharged",
            "(?:not|never|un)[- ]?(?:yet )?(?:charged|loaded)", "dead",
        "which has nothing", "un-charged",
        "with nothing (?:on|in) it", "at (?:zero|0) volts?", "no voltage",
    ),
    "ALTERNATING": ("a\\. ?c\\.",),
    "PD": (
        "p\\. ?d\\.?", "e\\. ?m\\. ?f\\.?",
        "(?<=what )(?:do|does|would|will|can|should) (?:i|we|you|one|a (?:volt)?meter) "
        "(?:see|measure|read|find|get)(?= (?:on|across|over|at) )",
    ),
    "CLAIM": (
        "(?:do|would|will|should) (?:i|we|you|it) (?:get|have|make|be)",
        "is (?:it|that|the answer)", "is(?= [0-9.,]+ ?[unpµ]?F (?:right|correct|the right))"),
    "RESTORED": (
        "(?:put|switched|connected|joined|plugged|turned|comes|goes) (?:back|again)(?: on| in)?"
        "(?! to)",
        "re-?connected", "reattached",
    ),
    "EACH": ("either(?= (?:plate|one|capacitor|cap|of)\\b)",),
    "CAPN": ("self[- ]capacitance",),
    "UNLIKE": (
        "(?:the )?(?:one |corner |point |vertex )?(?:farthest|furthest|most distant)(?: away)?"
        "(?: from it)?", "(?:the ones )?across from each other", "diagonally opposite",
        "facing each other",
    ),
    "HALVE": ("(?:to |by )?half (?:of )?(?:its|the|that|as|what)",),
    "DISCON": (
        "(?:the )?(?:battery|supply|source|cell) goes(?: off| away)?(?= ?(?:[.,;]|and\\b|$))",
        "left alone",
        "separated(?= (?:from|of) (?:(?:the|its|their|this) )?(?:source|supply|battery|cell))",
        f"{_PULL} (?:off |out |away )?{_WHOSE}(?:cables?|wires?|leads?|plugs?|clips?|cords?"
        "|connections?|crocodile clips?)(?: (?:off|out|away|loose|apart)| from (?:the "
        "|its )?(?:battery|supply|source|cell))?",
        f"{_PULL} (?:off|out of|away from|loose from|free of|from)(?= {_WHOSE}(?:[0-9.]+ ?k?V )?"
        "(?:battery|supply|source|cell|mains|charger))",
        "cut (?:loose|off)", "taken? off", "took off", "let go",
    ),
    "HOWMANY": (
        "how many(?= [0-9.]+ ?[unpµ])",
        "how many (?:of (?:them|these|those)|capacitors|caps|do|are|would|will|must)",
        "how many(?=\\s*\\?)", "(?:minimum|least|smallest) number(?: of (?:capacitors|caps|them))?",
        "fewest(?: (?:capacitors|caps))?", "number (?:of (?:capacitors|caps) )?(?:needed|required)",
    ),
    "TIMING": (
        "how (?:long|fast|quickly|soon)", "time constant", "half[- ]life",
        "after [0-9.]+ ?(?:ms|s|seconds?|minutes?)\\b",
    ),
    "WISHV": (
        "count(?= (?:the |its |their )?(?:energy|charge|voltage|tension|total|whole|capaci))",
        "work out", "how (?:much|big|large)", "i (?:want|need) (?:to know )?the",
    ),
    "JOIN": (
        "shorted(?= onto| across)",
        "(?:end|wind|finish)s? up (?:with|at|on)", "arrive at", "come out at",
    ),
    "SHORT": ("short[- ]?circuit(?:ed|s)?",),
    "UNKNOWN": ("without an? (?:number|value|label)", "(?:not labelled|unlabelled|unmarked)"),
    "SWITCH": (
        "switch S[0-9]", "S[0-9](?= (?:is|was|then|now|opens|closes|opened|closed|moves)\\b)",
    ),
    "DIVIDER": ("(?:cap(?:acitive|acitor)? )?(?:voltage )?divider",),
    "RATED": (
        "(?:most|greatest|highest|largest|biggest)"
        "(?= (?:volts|voltage|p\\.? ?d|potential|supply|safe))",
        "(?:break ?down|working|rated|maximum(?: safe| working| permissible| allowed)?|max) "
        "(?:voltage|p\\.?d\\.?|potential difference)", "voltage rating", "rating of",
        "can (?:only )?(?:withstand|take|stand|bear|tolerate)(?: at most| up to| no more than)?",
        "must not (?:exceed|have more than)",
        "(?:safe|good) (?:up )?to", "breaks down (?:at|above)",
        "for which (?:the |its )?(?:makers?|manufacturers?|data ?sheet|catalogue) "
        "(?:gives?|states?|quotes?|names?|allows?)",
    ),
    "NOT": ("(?:does|do|is|are|has|have|did|was)(?: no|n't)t?(?= )",),
    "PAIROF": ("an? (?:pair|couple|brace) of", "(?:pair|couple|brace) of"),
    "STAYS": (
        "(?:with |while |whilst )?(?:the |a )?(?:battery|supply|source|cell)(?: is| was)?"
        " (?:still |left |kept |remains? |stays? |remaining |permanently |always )+"
        "(?:connected|on|attached|joined|in place|there)?(?: the whole time| all the time)?",
        "(?:kept|left|remains?|stays?|remaining|still) (?:connected|joined|attached) to"
        " (?:the|its|a) (?:same )?(?:battery|supply|source|cell)",
        "(?:without|not|never) taking (?:the |its )?(?:battery|supply|source|cell|it)"
        " (?:off|away)",
        "(?:without|not|never) (?:disconnecting|removing|unplugging)(?: the| its)?"
        "(?: battery| supply| source| it)*",
        "(?:the )?(?:battery|supply|source|cell) never leaves",
        "(?:the )?(?:battery|supply|source|cell) (?:stays?|remains?|is kept|is left|is still)"
        "(?: on| connected| attached| joined| there)?(?: the whole time| all the time)?",
        "at (?:a )?constant (?:p\\.?d\\.?|voltage|potential(?: difference)?)",
    ),
    "WHOLE": (
        "what (?:results|comes out|is formed|(?:that|this) gives)",
        "what (?:you|we|i) (?:(?:then |now )?(?:have|get|got))(?: now| so far)?",
        "all (?:of )?(?:that|this|it)(?: lot)?", f"the (?:whole|entire|complete|full|total) {_LOT}",
        f"(?:this|that) whole {_LOT}", "the (?:whole|lot|entirety)", "everything(?: so far)?",
        "the result(?: of (?:this|that))?", f"the (?:overall|final|resulting) {_LOT}",
        "the two ends", "(?<=volts )end[- ]to[- ]end", "(?<=V )end[- ]to[- ]end",
            "(?:both|the) (?:outer )?ends(?= of)", "the (?:outside|outer) terminals",
        "this (?:whole )?lot", "that lot",
        "(?:the )?(?:whole|entire) (?:battery|bank|set) of (?:capacitor|cap|condenser)s",
        "(?:all (?:of )?)?the above(?! (?:one|cap|branch|arm))",
        "the outer (?:ends|points|wires|pair)",
    ),
    "SAMEPOINTS": ("same (?:two )?points",),
    "NOISE": (
        "(?:plus|minus|positive|negative) ?(?:--+|—|->)", "in series[- ]parallel",
        "d\\. ?c\\.?(?= )", "DC(?= )", "mains[- ]free", "left(?= on| connected| in)",
        "d\\. ?c\\.",
        "(?:and )?(?:(?:are|were|get|got) )?(?:carefully )?(?:taken apart|(?:separated|taken out"
        f"|(?:pulled|taken|kept) (?:out|apart)|parted)(?: from {_EACH_OTHER})?(?:,? (?:and|then))+"
        "(?= (?:re-?)?(?:joined|connected"
        "|put|wired|linked|tied)))(?: carefully)?",
        "without (?:losing|loss of)(?: any| of| their| its| the)* charges?",
        "(?:separated|disconnected) from (?:each other|one another)",
        "without (?:either|any|one|exceeding)[^?.;]*?(?:ratings?|markings?|exceed\\w*)"
        "(?: being exceeded)?",
        "(?:if|so that) (?:neither|none|no)[^?.;]*?(?:is|are)(?: to be)?"
        " (?:exceeded|damaged|broken|overloaded)",
        "(?:and )?the other (?:two )?(?:ends|plates|terminals) (?:together|too)(?: as well)?",
        "(?:all )?in terms of [^.?;]*", "as a function of [^.?;]*",
        "from end to end", "by means of (?:a|the) switch", "(?:and )?vice[- ]versa",
        "(?:bigger|more|less|smaller|larger|higher|lower|greater) than in (?:series|parallel)",
        "in (?:its |their )?turn",
        "as (?:the|its|an?) (?:upper |highest |absolute )?(?:limit|maximum)",
        "(?:(?:when|after|once) )?(?:the |a )?switch (?:(?:is|has|was|been|then|now)"
        " )*(?:closed|thrown|shut)",
        "what (?:happens|now|then)(?: now)?",  "back(?= to)", "once again",
            "(?:(?:then|and|they|it|both) )*(?:(?:go|come|join|get)(?:es|s)? )?back togeth?e?r",
        "(?:(?:they|both|these|which|the two) )?(?:meet|join|rejoin|unite)s? (?:up"
            " )?(?:again|together again)",
        "(?:and )?(?:(?:go(?:es)?|leads?|runs?|back|return) )*(?:from|to|at|on)"
        f" (?:the )?(?:plus|minus|positive|negative|\\+)(?! plate){_NO_CAPS}"
        "(?: (?:side|pole|terminal|end))?(?: of the (?:battery|cell|supply))?(?!"
        " to)(?: there'?s| is)?",
        "between (?:the )?(?:ground|earth|gnd|0 ?V) and (?:a |the"
        " )?(?:node|point|rail|pin|line|terminal)",
        "(?:from|to) (?:ground|earth|gnd)", "found to be",
        "at the (?:start|beginning|end)", "in the (?:end|beginning)", "at (?:first|last)",
        "(?:until|till|so(?: that)?) (?:it|they|that) (?:is|are) (?:quite |completely )?(?:full"
        "|filled)(?: to the (?:brim|top)| (?:of|with) it| up)?",
        "separate(?= (?:capacitor|cap|condenser|branch)e?s)",
        "isolated(?= (?:[a-z]+ )?(?:sphere|ball|globe|conductor|body)\\b)",
        "of (?:practically |effectively |almost |very )*(?:infinite|high|huge|large)"
        " (?:internal |input )?resistance",
        "first of all", "to (?:start|begin) with", "first off", "as follows", "respectively",
        f"as (?:shown|drawn|in)(?: in {_DRAWN})?(?: [0-9.]+[a-z]?)?",
        f"(?:shown |see |in )?{_DRAWN}(?: [0-9.]+[a-z]?)?(?: shows)?", "such that", "so that",
        "in (?:a |the )?(?:mixed|following) way", "on (?:the|its) way (?:back )?to the \\w+",
        "quick q(?:uestion)?",
        "(?:the|this|my) (?:q|question|prob|problem) (?:says|asks|goes|reads)",
        "for example", "e\\.g\\.", "i\\.e\\.", "in order",
            "(?:on|at|to) the (?:left|right)(?: hand)?(?: side)?", "my (?:teacher|friend|book)",
        "(?:and |of |with |has )*(?:a )?(?:negligible|zero|no|small) internal resistance",
        "by itself", "on (?:its|their) own", "in (?:total|all|turn|addition)", "as a whole",
        "at (?:most|least|all)", "of course", "in (?:a|the) (?:circuit|lab)",
        "in (?:such|this|the same|that|any|some) (?:a )?way", "by the way", "all the way",
        "let(?:'s| us) (?:call|say)(?: it)?", "(?:upon|once) (?:upon )?a time",
        f"the (?:plus|minus|positive|negative){_NO_CAPS} (?:terminal|pole|side|end)",
        "(?:the )?whole time",
        "with (?:me|us)", "fully charged", "long time", "for a while", "step by step",
    ),
}  # fmt: skip
_TAGS = tuple(_IDIOMS)
# One pattern for all, with a group for each concept: most words begin none of them, and a sign but
# for the plus of a terminal none at all, so that they are not tried on it one after the other.
_IDIOM = re.compile(
    "(?<![A-Za-z0-9])(?=[a-z0-9+])(?:"
    + "|".join(f"({'|'.join(patterns)})" for patterns in _IDIOMS.values())
    + ")(?![A-Za-z0-9])",
    re.I,
)


def idiom_at(text: str, at: int) -> tuple[str, int] | None:
    """The concept of the words that begin here, "" for none, and where they end."""
    if at and text[at - 1].isalnum():
        return None
    match = _IDIOM.match(text, at)
    if match is None or match.lastindex is None:
        return None
    tag = _TAGS[match.lastindex - 1]
    return ("" if tag == "NOISE" else tag), match.end()
