"""What is said of one, of a pair or of all so far, in the words that the rest of this room knows.

Each of these wordings was once passed over in part, so that another network was read: a pair of two
that differ, a p.d. between the plates of one, a name between commas, plates that meet.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

_WORTH: Final = r"(?<![0-9.])[0-9]*\.?[0-9]+ ?-?(?:[unp]F|(?:micro|nano|pico)-?farads?)\b"
_VOLTS: Final = r"[0-9]*\.?[0-9]+ ?-?k?(?:V|volts?)\b"
_CAP: Final = r"(?:capacitor|condenser|cap|one)"
_ONE: Final = rf"(?:the (?:{_WORTH}|first|second|third|last)(?: {_CAP})?|C_?[0-9a-z])"
_SIGN: Final = r"(?:plus|minus|positive|negative)"
_PART: Final = r"(?: (?:plate|side|terminal|end|pole|lead|leg)s?)?"
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


_ROWS: Final[tuple[tuple[str, str | Callable[[re.Match[str]], str]], ...]] = (
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
    (r" of (?:this|the) (?:length|piece) of (?:the |this )?cable\b", ""),
    # One that is not marked.
    (rf"\b(?:the one|one|(?:the|an?) {_CAP}) (?:without (?:an?|its) label|whose (?:print|label"
     r"|marking|value|number) (?:can no longer|cannot|can not|can't) be (?:read|seen|made out))",
     "an unknown capacitor"),
    (r"\bthe (?:label|print|marking) (?:of|on) one of (?:the |my )?two c\w+ (?:has |is |was )?"
     r"(?:come off|fallen off|gone|unreadable|worn off|rubbed off|missing)[.,;] ?", ""),
    (r"\bwhat (?:should|must|is to|ought to) be (?:written|printed|put) on (?:the|its|a) "
     r"(?:new )?label\b", "What is the unknown one"),
    (rf",? and (?:the|a|my) meter (?:shows|reads|gives|measures) (?P<worth>{_WORTH})(?: for (?:the"
     r" two|them|both|all|the pair)(?: together)?)?", r". The total is \g<worth>"),
    (r" in an? (?:old )?(?:instrument|radio|receiver|amplifier|set|device)(?= in (?:series"
     r"|parallel)\b)", ""),
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
    for pattern, put in _PLAINER:
        text = pattern.sub(put, text)
    return text
