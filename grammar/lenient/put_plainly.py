"""Everyday wordings put in the words that the rest of this room knows, as far as that is sure."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Final

from grammar.lenient.wires_told import with_ends_wired
from grammar.lenient.wishes_put_last import with_wishes_put_last


def _is_upright(said: re.Match[str]) -> bool:
    """Whether two that stand one below the other do so in a branch that is drawn upright."""
    before, after = said.string[: said.start()], said.string[said.end() :]
    near = re.split(r"[.;?!](?![0-9])", before)[-1]
    return (
        re.search(r"(?i)\b(?:legs|arms|branches|columns)\b", after) is not None
        or re.search(
            r"(?i)\b(?:left|right|middle)(?:[- ]hand)? (?:one|side|branch|wire|leg|column|line)\b",
            near,
        )
        is not None
    )


_FIGURES: Mapping[str, str] = {"2": "two", "3": "three", "4": "four"}


def _in_words(told: str) -> str:
    """A number of capacitors that a figure begins, in a word: 3 in series."""
    return _FIGURES.get(told[0], told[0]) + told[1:]


_OF_UNIT: Mapping[str, str] = {"C": "charge", "V": "voltage", "J": "energy"}
# Wordings that come to the same, where they are so as they stand.
_PLAINER: Final[tuple[tuple[re.Pattern[str], str | Callable[[re.Match[str]], str]], ...]] = (
    (re.compile(r"(?i)\bmax\. ?(?=[0-9])"), "max "),
    (
        re.compile(r"(?i)\bload(?=s? (?:an? |the |both |each |it |C_?[0-9]|[0-9.]+ ?[unp]F))"),
        "charge",
    ),
    (re.compile(r"\bc_?(eq|tot)\b"), r"C\1"),
    (re.compile(r"(?i)\bw(?:o|a|h|u|ha)ts\b"), "what is"),
    (re.compile(r"(?i)\bw(?:o|a|h|u)t\b(?! [0-9])"), "what"),
    (re.compile(r"(?i)\b(?:sum|some)(?:1|one)\b"), "someone"),
    (re.compile(r"(?i)\b(?:write|take|note|jot) (?:this |it |that )?down(?: please)?[:,.]? "), ""),
    (re.compile(r"(?i)\b(?:hw|ho|hwo)(?= (?:much|many|big|large)\b)"), "how"),
    (  # is it true that C1 has 60 uC on it when …: what it has is what is asked
        re.compile(
            r"(?i)\bis it (?:true|right|correct|so) that (?:the )?(?P<whom>[0-9.]+ ?[unp]F|C_?\w+)"
            r"(?: capacitor| one)? (?:has|have|holds|carries|gets|stores|sees) (?:an? )?"
            r"(?:(?:charge|energy|p\.? ?d\.?|voltage) of )?[0-9.]+ ?[kunpm]?(?P<unit>[CVJ])"
            r"(?: (?:on|across|over|in) it)? (?=when|if|where)"
        ),
        lambda said: f"What is the {_OF_UNIT[said['unit'].upper()]} of the {said['whom']} ",
    ),
    (
        re.compile(
            r"(?i)\b(?:which|what) (?P<two>two (?:capacitors|caps|condensers) (?:make|give|have"
            r"|come to) (?:[^?.;]|\.(?=[0-9]))*)\?"
        ),
        r"\g<two>. Find them.",
    ),
    (re.compile(r"(?im)^an? (?:chain|row|string|line) from [A-Z] to [A-Z]: (?=C_?[0-9])"), ""),
    (re.compile(r"(?i)\b2 (?=(?:make|get|have|give|bring|be)\b)"), "to "),
    (
        re.compile(
            r"(?i)\b(?:so|such) that (?:i|we|you|it|they) (?:have|has|get|gets|make|makes)\b"
        ),
        "to get",
    ),
    (
        re.compile(
            r"(?i)\b(?:so|such) that (?:the (?:whole|lot|two|pair|total|result|combination|group)"
            r"|all|both)(?: capacit\w+| of (?:them|both|it)| together| thing)* (?:is|are|be"
            r"|becomes?|comes? to|makes?|has|have|gives?|amounts? to|totals?|adds? up to)"
            r"(?= [0-9.]+ ?-?(?:[unp]F|micro|nano|pico))"
        ),
        "to get",
    ),
    (
        re.compile(
            r"(?i)\b(?:is|are|stand|sit|lie) in (?P<way>series|parallel),? (?:and )?(?:likewise|"
            r"similarly|so (?:are|is|stand|sit)|(?:in )?the same way|as are|equally so)"
            r"(?: with)?,? (?P<others>[^.;?!]*?(?<=[FC0-9]))(?: are| too| as well)?(?=\s*[.;!])"
        ),
        r"are in \g<way>, and \g<others> are in \g<way>",
    ),
    (
        re.compile(
            r"(?i)\b(what (?:must|do|should|can|could|shall) (?:i|we|you) (?:\w+ )?(?:put|place"
            r"|add|wire|hang|connect|join)|what goes) (?:alongside|beside)\b"
        ),
        r"\1 in parallel with",
    ),
    (re.compile(r"(?i)\b(?:is|was) found to have\b"), "has"),
    (
        re.compile(
            r"(?i)\b(?<=the )(?:other|second|first)(?: one| cap\w*| condenser)?,"
            r" (?:which (?:is|has)|(?:the|that) (?:one )?of|with|of)"
            r"(?: (?:a|its|capacitance|value|of))* (?P<worth>[0-9.]+ ?[unp]F)\b"
        ),
        r"\g<worth> one",
    ),
    (
        re.compile(
            r"(?i)\b(?:the two|they|both|these) (?:stay(?:ed|s)?|remain(?:ed|s)?|(?:are|were) kept"
            r"|(?:are|were) left) (?:wired|joined|connected"
            r"|tied)(?: together)?(?: to (?:each other|one another))?,? ?"
            r"(?:and )?"
        ),
        "",
    ),
    (re.compile(r"(?i)\bthreesome\b"), "group of three"),
    (
        re.compile(
            r"(?i)\b(?P<row>(?:two|three|four|[2-4]) in (?:series|parallel)),? (?:and )?"
            r"(?:that|this|the same) (?P<many>twice|two times|three times)\b"
        ),
        lambda said: (
            f"{'three' if said['many'][1] == 'h' else 'two'} groups, each of {said['row']}"
        ),
    ),
    (
        re.compile(
            r"(?i)(?<=F)(?P<comma>,)? one (?:below|above|under"
            r"|on top of) the other\b"
        ),
        lambda said: " one after the other" if _is_upright(said) else said[0],
    ),
    (
        re.compile(r"(?i)\b(energy|joules) (?:goes|go|went|gone|is) missing(?: while)?"),
        r"\1 is lost when",
    ),
    (  # how much energy went?
        re.compile(
            r"(?i)\b(?P<much>how (?:much energy|many joules)) (?:(?:has|have|was|were|is|are) )?"
            r"(?:went|gone|disappeared|vanished)(?: (?:away|up in smoke|in the spark))?"
            r"(?=\s*(?:[?.]|$))"
        ),
        r"\g<much> is lost",
    ),
    (  # three in series make a row, two rows like that
        re.compile(
            r"(?i)\b(?P<row>(?:two|three|four|[2-4]) in (?:series|parallel)) (?:makes?|forms?"
            r"|gives?|is|are|being) (?:an?|one) (?P<noun>\w+)[.,;:]? "
            r"(?:(?:and|then|i have|there are|take|with|we have) )*(?P<many>two|three|four|[2-4])"
            r" (?:such (?P=noun)s|(?P=noun)s(?: like (?:that|it|this|these))?"
            r"|of (?:these|those|them|such|that))"
            r"(?: are)?(?= (?:wired |joined |connected |put )?in (?:series|parallel|paralel)\b)"
        ),
        lambda said: f"{_in_words(said['many'])} groups, each of {_in_words(said['row'])},",
    ),
    (  # in a ladder, what leads from wire to wire is a rung
        re.compile(
            r"(?i)\b(?:connects?|joins?|links?|leads from|runs from|goes from) (?:the|one)"
            r" (?:(?:upper|top|lower|bottom) )?(?:wire|rail|line)(?:, behind (?:it|that),)?"
            r" (?:with|to|and) the (?:lower|bottom|other|upper|top) (?:one|wire|rail|line)\b"
        ),
        lambda said: "goes across" if "ladder" in said.string.lower() else said[0],
    ),
    # What is told by its points is no more for being called a bridge.
    (
        re.compile(
            r"(?im)^(?:in |for |of )?(?:(?:an?|the) )?(?:\w+ )?bridge(?: circuit| network)?[.:;,]? "
            r"(?=(?:from |between )?(?-i:[A-Z]) (?:to|and) (?-i:[A-Z])\b|(?-i:C_?[A-Z]{2})\b)"
        ),
        "",
    ),
    (re.compile(r"(?i) ?\((?:the )?(?:subscripts|indices|index|letters)\b[^()]{,80}\)"), ""),
    (
        re.compile(
            r"(?i)\bthe (?:bridge|middle|cross|diagonal) (?:capacitor|condenser|cap|one), the one"
            r"(?: capacitor)?(?= (?:from|between) (?-i:[A-Z]) )"
        ),
        "the one",
    ),
    (re.compile(r"(?i)\bany one of the (?:capacitors|condensers|caps)\b"), "any one of them"),
    (re.compile(r"(?i)\btotal (?:p\.?d\.?|voltage|potential difference) (?=[VU]\b)"), "supply of "),
    (
        re.compile(r"(?i)(?<=[0-9unpF)])[ ,]+total (?:pls|plz|please|thx|thanks)(?=\W*$)"),
        ". What is the total capacitance",
    ),
    (re.compile(r"(?i)\bof each (?=[0-9.,]+ ?[unp]F)"), "of "),
    (  # the two of capacitance C
        re.compile(
            r"(?i)\b(?P<which>the (?:one|two|three|four|ones) (?:of|with)) (?:an? )?(?:capacit"
            r"(?:ance|y)|value|size) (?:of )?(?=[0-9.]*C\b|[0-9])"
        ),
        r"\g<which> ",
    ),
    (
        re.compile(
            r"(?i)(?P<some>(?:^|(?<=[.;] ))an?|\b(?:two|three|four)(?: (?:equal|parallel|series))*)"
            r" capacit(?:y|(?P<many>ies)) (?=of [0-9.,]+ ?[unp]F)"
        ),
        lambda said: f"{said['some']} capacitor{'s' * bool(said['many'])} ",
    ),
    (re.compile(r"(?i)\bknot\b"), "block"),
    (
        re.compile(
            r"\bFigure (?:out )?(?=(?:its|their|what|how|the (?:cap|cha|ene|vol|p\.?d)\w*)\b)"
        ),
        "Find ",
    ),
    (
        re.compile(
            r"(?i)\bwhat (?P<what>charge|voltage|potential difference|p\.d\.|energ)(?:s|ies)"
            r" (?:do|did|will|would) (?:they|these|those|both|the (?:two|three|capacitors))"
            r"(?: \w+)? (?:have|hold|carry|get|store|end up with)\b"
        ),
        lambda said: f"what is the {said['what'].replace('energ', 'energy')} of each capacitor",
    ),
    (
        re.compile(r"(?i)\b(?:bridges|spans) (?:the two of them|them both|both of them)"),
        lambda said: (
            "is in parallel with the two of them"
            if re.search(r"(?i)\b(?:series|behind|after|row|chain|line)\b", said.string)
            else said[0]
        ),
    ),
    (  # oil, constant 2, is poured into one of them
        re.compile(
            r"(?i)\b(?P<what>oil|wax|glass|mica|paper|slab|dielectric|plastic|resin|liquid|sheet),"
            r" (?:(?:with|of|an?|its|the|dielectric|relative) )*(?:constant|k|permittivity)"
            r"(?: (?:of|is|=)|=)* ?(?P<k>[0-9.]*[0-9]),"
        ),
        r"\g<what> of k = \g<k>",
    ),
    (re.compile(r"(?i)\bwye[- ]connected\b"), "connected in star"),
    (re.compile(r"(?i)\bedges from a cube\b"), "edges of a cube"),
    (re.compile(r"(?i)\bcorners which are most far\b"), "opposite corners"),
    (
        re.compile(
            r"(?i)\bcorners (?:(?:which|that) are |lying )?(?:right )?(?:next to|beside|close to)"
            r" (?:each other|one another)\b"
        ),
        "adjacent corners",
    ),
    (
        re.compile(
            r"(?i),? (?:(?:whose|its|the) plates (?:are |being )?separated by air"
            r"|with (?:only |nothing but )?air between (?:its|the) plates),?(?= )"
        ),
        " ",
    ),
    (
        re.compile(
            r"(?i)[,;]? ?\(?(?:(?:take )?(?:them as )?ideal (?:caps|capacitors)[, ]*)?(?:no|without"
            r"|ignor(?:e|ing)|neglect(?:ing)?|forget(?:ting)?(?: about)?) (?:any |the )?(?:leakage"
            r"|(?:balanc|bleed|equali[sz])\w*)(?: (?:resist\w*|networks?|currents?))?\)?"
        ),
        "",
    ),
    (re.compile(r"(?i)\bthe one has a capacitance of\b"), "one is"),
    (
        re.compile(
            r"(?i),? (?:whose|with) (?:capacitances|capacities|values) (?:are |of |being )+"
        ),
        " of ",
    ),
    (
        re.compile(
            r"(?i)\b(?:calculate|find|determine|what is) the (?:p\.?d\.?|voltage"
            r"|potential difference)"
            r" (?:which|that) (?:must|has to|should) be applied (?:across"
            r"|to) (?P<net>[^.?;]*?(?<=[a-zF])),?"
            r" (?:in order that|so that|such that) the charge on each (?:shall|will|may|is to"
            r"|should) be"
            r" (?P<charge>[0-9.]+ ?[unpm]?C)\b"
        ),
        r"Take \g<net>. The charge on each is \g<charge>. What is the total voltage",
    ),
    (
        re.compile(r"(?i)\b(?:feeding|driving) (an? [0-9.]+ ?[unp][0-9]*F?) in series\b"),
        r"in series with \1",
    ),
    (
        re.compile(r"(?i)\b(?:going |goes |go )?a?round (?=(?:both|the two)\b|them both\b)"),
        "across ",
    ),
    (re.compile(r"(?i)(?<=F) respectively,?"), ""),
    (re.compile(r"(?<=[unp]F) (?=[0-9.]+ ?[unp]F\b)"), ", "),  # 2 uF 3 uF 6 uF is a list
    (
        re.compile(r"(?i)(\bC_?[0-9a-h] ?= ?[0-9.]+(?: ?[unp]F)?) (?=C_?[0-9a-h] ?= ?[0-9])"),
        r"\1, ",
    ),
    (
        re.compile(r"(?i)(?<=[0-9F] )((?:in )?(?:series|parallel)\w*) (?=C_?[0-9a-h] ?= ?[0-9])"),
        r"\1. ",
    ),
    (re.compile(r"(?i)\bthat of (?=[0-9.,]+ ?[unp]F)"), "the "),
    (re.compile(r"(?i)\b(?:bare|plain|naked) line\b"), "bare wire"),
    (re.compile(r"(?i)(?<=[0-9unpF]) into (?=\()"), " in series with "),
    (
        re.compile(
            r"(?i)\bwhat (voltage|tension|charge) (?:falls|drops|lies|sits|is found)"
            r" (?=(?:on|across) )"
        ),
        r"what is the \1 ",
    ),
    (  # which of two told already is drawn above says nothing more
        re.compile(
            r"(?i) ?\((?:the )?(?P<value>[0-9.]+ ?[unp][0-9]*F?) (?:is |goes |being )?(?:on"
            r"|at) (?:the )?"
            r"(?:top|bottom)\)"
        ),
        lambda said: "" if said["value"] in said.string[: said.start()] else said[0],
    ),
    (
        re.compile(r"(?i)\bof (two [^.;?,]*?) placed in (series|parallel) across\b"),
        r"of \1 in \2 across",
    ),
    (
        re.compile(
            r"(?i)(?:\b(?:stuck|hung|hanging|put|joined|tied|soldered|connected|sitting|shunted)?"
            r" ?(?:on|to|across|between)|\bshar(?:e|ing)|(?<=[a-z0-9],)) (?:the )?(?:very )?same"
            r" (?:two|2|pair of) (?:wires|nodes|points|lines|rails|terminals|corners)\b"
        ),
        " in parallel",
    ),
    (
        re.compile(
            r"(?i)\b(?:touching|joined|tied|connected|twisted|legs|twisted together| )*(?:with"
            r"|at|on)"
            r" (?:both (?:their )?ends|either end)(?: (?:each the|to each"
            r"|of each) other)?(?=[,.;]| to)"
        ),
        "in parallel",
    ),
    (
        re.compile(
            r"(?i)\b(?:both )?share (?:both )?(?:of )?(?:their )?(?:two )?(?:points|ends|legs)\b"
        ),
        "are in parallel",
    ),
    (
        re.compile(r"(?i)\b(?:follow (?:one )?on|come one behind) (?:the |each )?other\b"),
        "are in series",
    ),
    (
        re.compile(r"(?i)\b(?:share (?:a|the same|one)|(?:are bound to )?carry the same) charge\b"),
        "are in series",
    ),
)


# What has been charged, what is done to it, and what was never charged.
_VOLTS: Final = r"(?P<volts>[0-9.]+ ?k?V(?:olts?)?)\b"
_LEADS: Final = r"(?:cables?|wires?|leads?|lines?|connections?|cords?)"
_STORIES: Final[tuple[tuple[str, str | Callable[[re.Match[str]], str]], ...]] = (
    # What is asked of the parallel bit, which tells nothing more of how they are joined.
    (r"\b(?P<what>p\.d\.|pd|volts|voltage|drop|charge|energy) (?:across|over|on|in|of|for) "
     r"(?P<which>(?:the|that|this) (?:parallel|series)) (?:bit|portion|piece|lot|side|part|block"
     r"|section|stage)\b",
     lambda said: f"{said['what']} {'on' if said['what'] in ('charge', 'energy') else 'across'} "
     f"{said['which']} pair"),
    # Branches that are listed: the last has one clause, each of the others says how it goes on.
    (r"\btwo (?P<noun>(?:parallel )?(?:branches|arms|paths|legs))(?: in parallel)?: "
     r"(?P<one>an? [0-9.][^,.;:]* (?:in series with|followed by) (?:an? )?[0-9.][^,.;:]*), and "
     r"(?P<other>an? [0-9.]+(?: ?[unp]F)?(?: \w+)?)(?=[,.;]|\s*$)",
     r"two \g<noun> in parallel, one with \g<one> and one with \g<other>"),
    (rf"(?:,? ?(?:and |that |which )?(?:it )?(?:still |once )?(?:had"
        rf"|has) {_VOLTS} (?:left )?(?:on|in|across)"
     rf" it|(?:that|which) (?:was|is|stood) at {_VOLTS.replace('volts', 'at')})(?=.*\b(?:dump"
     rf"|shar|touch|clip|empty|uncharged)\w*)",
     lambda said: f" charged to {said['volts'] or said['at']}"),
    (rf"\b(?:cut|snip)(?:s|ting|ped)? (?:the|its|their|both) {_LEADS} (?:to|from"
        rf"|of) (?=the (?:supply"
     r"|battery|source|cell))", "disconnect "),
    (rf"\b(?:dump(?:s|ed)?|empt(?:ies|ied)|discharged) (?P<what>an? [0-9.]+ ?[unp]F?(?: c(?:ap"
        rf"|on)\w*)?),? (?:sitting|standing|charged|which (?:was|is|stood)) (?:at|to) {_VOLTS},?"
     r" (?:on|in)to (?=an? (?:empty|flat|dead|uncharged))",
     lambda said: f"{said['what']} charged to {said['volts']} is connected to "),
    (r"\b(?:dump(?:s|ed)?|empt(?:y|ies|ied)|discharged?) it (?:on|in)to (?:an? )?(?:flat|dead"
        r"|empty|uncharged)\b",
     "connected it to an uncharged"),
    (r"\bshare[sd]? (?:its|all its|the) charge with (?:an? )?(?:flat|dead|empty|uncharged)\b",
     "is connected to an uncharged"),
    (rf"\bfill(?:s|ed)? up (?P<what>an? [0-9.]+ ?[unp]F) (?:from|with|on) (?:an? )?{_VOLTS}"
     r"(?: battery| supply| source)?", lambda said: f"charged {said['what']} to {said['volts']}"),
    (r"\b(?:that|which|who|with) (?:had |has )?nothing (?:on|in) it\b", "that is uncharged"),
    (r"\btouch(?:es|ed)? (?:its|the|both) (?:legs|leads|wires) (?:to|on|onto) (?:the "
        r"|those )?(?:legs|leads"
     r"|wires|those|ones)? ?of\b", "connected it to"),
    (rf"(?P<cap>[0-9] ?[unp]F?(?: c(?:ap|on)\w*)?),? (?:that |which )?(?:had|has|was at|is at"
     rf"|(?:that|it)?'s at"
     rf"|thats at|sits at|with) {_VOLTS}(?: on it)?(?=.*\b(?:empty|uncharged|flat|discharged)\b)",
     lambda said: f"{said['cap']} charged to {said['volts']}"),
    (r"\b(?:and )?(?:i |we )?(?:stuck|put|hung|placed|clipped|connect(?:ed"
     r"|s)?) (?P<what>an? (?:empty|uncharged"
     r"|flat|discharged) [0-9.]+ ?[unp]F?(?: c(?:ap|on)\w*)?) (?:across|on|over|onto|to) (?:it"
     r"|its \w+)\b",
     lambda said: f". It is connected to {said['what']}"),
    (r"\b(?P<what>an? (?:uncharged|empty|discharged|second,? uncharged)[^.;?]*?) is (?:then |now )*"
     r"(?:connected|joined|placed|put|wired) (?:across|to|over"
     r"|in parallel with) (?:its (?:terminals"
     r"|plates|ends|leads)|it|(?:the terminals of )?the (?:first|charged|former)(?: one"
     r"| capacitor| condenser)?)\b",
     lambda said: f"it is then connected to {said['what']}"),
    (r"\bcut(?:s|ting)? (?:the )?(?:cables?|wires?|leads?|lines?|connections?) (?:to|from|of)"
     r" the (?=battery|supply|source|cell)", "disconnect the "),
    (rf"\bconnected to (?:an? )?{_VOLTS} (?:battery|supply|source) until (?:it is )?fully charged",
     lambda said: f"charged to {said['volts']}"),
    (r",? ?(?:whereupon|and then|then|after which) the (?:battery|supply|source"
        r"|cell) is replaced by",
     ", then it is disconnected from the battery and connected to"),
    (rf"\bthe {_VOLTS} (?:battery|supply|source) is (?:never|not) (?:taken off|removed|disconnected"
     r"|unhooked)\b", lambda said: f"The supply of {said['volts']} stays connected"),
    (r"\b(?P<gap>(?:distance|gap|separation|spacing)(?: (?:of|between) the plates)?) ?[x*] ?"
     r"(?P<many>[0-9.]*[0-9])\b", r"\g<gap> becomes \g<many> times"),
    (r"\bplates (?:are|were|get) (?:slowly |then )*(?:pushed|pressed|moved"
        r"|brought)(?: closer)? together until"
     r" (?:only )?half (?:of )?(?:the|their) (?:gap|distance|separation) is left",
     "gap is halved"),
    (r"\bplates (?:are|were|get) (?:slowly |then )*(?:pulled|drawn|moved|taken)(?: apart"
        r"| out)? to (?P<many>twice"
     r"|three times|double) (?:the|their)(?: old| first)? (?:distance|gap|separation)",
     lambda said: f"gap is {'tripled' if said['many'][:2].lower() == 'th' else 'doubled'}"),
    (r"\b(?:drew|pulled|moved) the plates (?:out |apart )?to (?P<many>twice|three times"
        r"|double) (?:the|their)"
     r"(?: old| first)? (?:distance|gap|separation)",
     lambda said: f"the gap is {'tripled' if said['many'][:2].lower() == 'th' else 'doubled'}"),
    (rf"\bstays on its {_VOLTS} (?:battery|supply|source)(?: all the time"
        rf"| the whole time)? while\b",
     lambda said: f"is connected to a {said['volts']} battery. The battery stays connected. Then"),
    (r"\b(?:someone|somebody|he|she|i|we"
        r"|my \w+) pours? oil (?P<how>\([^)]*\)) between the plates(?: (?:till"
     r"|until) (?:they are|it is) (?:covered|full))?",
     lambda said: f"oil {said['how']} fills the gap"),
    (rf"\bwith the {_VOLTS} (?P<source>source|battery|supply) still (?:hooked up|connected"
        rf"|on), (?P<sheet>[^.;]*?"
     r"\([^)]*\)) is (?:slid|slipped|pushed|put) in so as to fill the (?:whole )?(?:space"
     r"|gap) (?:in|of)"
     r" (?P<cap>an? [^.;]*?capacitor)\b",
     lambda said: f"{said['cap']} is connected to a {said['volts']} {said['source']}."
     f" The {said['source']} stays connected. {said['sheet']} fills the gap"),
)  # fmt: skip
_TOLD_SO: Final = tuple((re.compile(f"(?is){said}"), put) for said, put in _STORIES)


def put_plainly(text: str) -> str:
    """The text with such wordings put plainly, and with the units and the points that it shares."""
    for pattern, put in (*_PLAINER, *_TOLD_SO):
        text = pattern.sub(put, text)
    text = with_ends_wired(text)
    return _with_units_shared(_with_small_points(with_wishes_put_last(text)))


# The unit of several values stands behind the last: C1 10, C2 15, C3 30 micro; 1 2 3 4 uF.
_NAMED_BARE: Final = r"\bC_?[0-9](?: ?(?:=|is|:))? ?[0-9.]+"
_UNIT_OF_THEM: Final = r"(?P<unit> ?(?:[unp]F?|micro|nano|pico)(?:-?farads?)?)\b"
_BARE_AND_LAST: Final = (
    re.compile(rf"(?i)(?P<bare>{_NAMED_BARE}(?:[, ]+(?:and )?{_NAMED_BARE})+){_UNIT_OF_THEM}"),
    re.compile(rf"(?i)(?<![A-Za-z0-9_.])(?P<bare>[0-9.]+(?: [0-9.]+){{2,}}){_UNIT_OF_THEM}"),
)


# Points in small letters: ab 2uf bc 4uf, 8v on a n c.
_SMALL_PAIR: Final = re.compile(
    r"(?<![A-Za-z0-9.])(?!(?:of|is|in|an|at|as|or|to|on|by|no|so|if|it|we"
    r"|my)\b)([a-h])([a-h])(?= ?[:=]?"
    r" ?[0-9.]+ ?[unp]f?\b)"
)


# The same in words: a 2 uF joins a to c, between c and d, (a to d).
_SMALL_PLACE: Final = re.compile(
    r"(?P<how>\((?:from |between )?|(?i:(?<=[0-9]f )|(?<=[unp]f ))(?:also )?"
    r"|\b(?i:on|at|join|connect|link|bridg|go|run|lie|sit|stand|hang|plac|put|wir|from|between"
    r"|terminal|point|node|across|end)[a-z]*"
    r"(?: (?:from|between|to|the|points?|nodes?|terminals?))* )"
    r"(?P<one>[a-z])(?P<and> (?:to|and|with) (?:(?:point|node) )?|-)(?P<other>[a-z])(?![a-z0-9'])"
)


def _with_small_places(text: str) -> str:
    """The text with capitals for three or more points in small letters between which it tells."""
    pairs = [(each["one"], each["other"]) for each in _SMALL_PLACE.finditer(text)]
    points = {point for pair in pairs for point in pair}
    if len(pairs) < 3 or len(points) > len(pairs):
        return text
    return _SMALL_PLACE.sub(
        lambda said: f"{said['how']}{said['one'].upper()}{said['and']}{said['other'].upper()}",
        text,
    )


def _with_small_points(text: str) -> str:
    text = _with_small_places(text)
    pairs = _SMALL_PAIR.findall(text)
    points = {point for pair in pairs for point in pair}
    if len(pairs) < 3 or len(points) >= 2 * len(pairs):
        return text
    text = _SMALL_PAIR.sub(lambda pair: pair[0].upper(), text)
    one = f"[{''.join(sorted(points))}]"
    text = re.sub(
        rf"(?i)\b(from|between|on|at|across) ({one}) (?:to|n|and|&) ({one})\b",
        lambda said: f"between {said[2].upper()} and {said[3].upper()}",
        text,
    )
    return re.sub(r"(?<=[A-H]) ([0-9.]+ ?[unp]f?)(?= )", r" \1,", text)


# Values with a decimal comma, parted by semicolons.
_PARTED: Final = re.compile(r"(?<![0-9,.])[0-9]+,[0-9]+(?: ?; ?[0-9]+(?:,[0-9]+)?){2,}(?![0-9,])")


def _with_units_shared(text: str) -> str:
    text = _PARTED.sub(lambda said: re.sub(" ?; ?", " ", said[0]).replace(",", "."), text)
    for pattern in _BARE_AND_LAST:
        text = pattern.sub(_each_in_the_unit, text)
    return text


def _each_in_the_unit(said: re.Match[str]) -> str:
    values = re.sub(r"(?<![A-Za-z0-9_.])([0-9.]+)(?=[, ]|$)", rf"\1{said['unit']},", said["bare"])
    return re.sub(",[, ]*(?:and )?", ", ", values).rstrip(", ") if values else said[0]
