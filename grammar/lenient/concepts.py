"""What a word of a network's description is about: one concept for each, found in spite of slips.

A concept is a short name in capitals; patterns over concepts, not over words, are what the rest of
this room knows. An entry that ends with * stands for every word that begins so.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Final


def words(text: str) -> tuple[str, ...]:
    """The words of a text in a row: a long list of them is easier to read so."""
    return tuple(text.split())


_WORDS: Mapping[str, str] = {
    # small words
    "DET": "some any",
    "THE": "the la le",
    "AND": "and & plus und y also n nd",
    "OF": "of valued having has have",
    "CAPN": "c capacitance capacitances capacity capacities capacitanc* value values size sizes"
    " farad farads microfarad microfarads nanofarad nanofarads picofarad picofarads",
    "WITH": "with w w/ wit wiv wid wth mit",
    "TO": "to onto into unto",
    "ACROSS": "across acros accross over bridging bridges spanning spans straddling straddles",
    "BETWEEN": "between betwen btw btwn",
    "FROM": "from frm",
    "IN": "in",
    "ON": "on upon",
    "AT": "at @",
    "BY": "by via through thru",
    "FOR": "for",
    "IS": "is are was were be been being am get gets got become becomes 's re stays remain remains "
    "act acts",
    "OR": "or either",
    "NOT": "not except unless without no none never instead neither nor don't isn't aren't",
    "IF": "if wen when once suppose let given assuming consider imagine while whilst where",
    "WHICH": "which that who whose",
    "THEN": "then thn lastly next afterwards after later finally subsequently followed now"
    " before behind past",
    # pointing back
    "EACH": "each every apiece",
    "ALL": "all everything altogether",
    "BOTH": "both",
    "THIS": "this these those",
    "THEM": "them they it these him em",
    "THEIR": "their its",
    "OTHER": "other others another remaining rest leftover remainder neighbor neighbour",
    "SINGLE": "single alone lone individual",
    "ONE": "one ones",
    "ORD1": "first 1st",
    "ORD2": "second 2nd",
    "ORD3": "third 3rd",
    "ORD4": "fourth 4th",
    "ORD5": "fifth 5th",
    "ORD6": "sixth 6th seventh 7th eighth 8th",
    "ORDLAST": "last latter",
    "FORMER": "former",
    "GROUP": "combination* combo* arrangement* group* set sets network* circuit* assembly pair "
    "pairs bank banks whole lot result stack stacks unit units cluster "
    "clusters block blocks system subcircuit section sections couple trio part parts "
    "bunch duo stage stages combi subnetwork structure configuration* association mesh setup",
    # things
    "CAP": "capacitor capacitors cap caps condenser condensers condensator* kondensator*"
    " capacitator* "
    "kapazit* capacitors' capacitor's electrolytic electrolytics"
    " lytic lytics elco elcos ceramic ceramics supercap supercaps ultracap ultracaps"
    " supercapacitor* ultracapacitor* tantalum tantalums mlcc mlccs trimmer trimmers",
    "EQUAL": "identical equal same similar alike equally",
    "SOURCE": "battery batteries batt supply supplies source sources cell cells generator"
    " generators psu "
    "powerpack accumulator pack dc d.c. d.c",
    "TERMINAL": "terminal terminals end ends pole poles",
    "POINT": "point points node nodes junction junctions corner corners vertex vertices",
    "EQ": "equals equal-to",
    "HOLD": "hold holds holding store stores stored storing carry carries carrying",
    "PD": "v voltage voltages p.d. pd p.d pds potential tension tensions emf e.m.f. e.m.f"
    " difference drop volt volts",
    "CHGN": "q charge charges coulomb coulombs",
    "ENERGY": "energy energies work joule joules",
    "FIELDN": "field fields",
    "METER": "voltmeter multimeter dmm electrometer",
    "FORCEN": "force forces",
    "LOST": "lost lose loses losing loss losses dissipat* wasted heat",
    "CEQ": "equivalent total resultant net overall combined effective resulting",
    "PLATE": "plate plates sheet sheets",
    "AREAN": "area areas surface surfaces",
    "GAPN": "gap gaps separation separated spacing spaced apart distance thickness thick",
    "SLAB": "dielectric* slab slabs mica glass paper filling filled polythene oil wax"
    " plastic perspex "
    "polystyrene bakelite teflon mylar insulator medium material",
    "PERM": "permittivity k kappa",
    "ROUNDN": "radius radii diameter diameters",
    "AIR": "air vacuum",
    "UNCHARGED": "uncharged unloaded discharged empty neutral bare",
    "UNKNOWN": "unknown something smth smthg sth sumthing somethin somthing summat",
    "SQUARE": "square diamond rhombus",
    "TRIANGLE": "triangle delta",
    "TETRAHEDRON": "tetrahedron",
    "ADJACENT": "adjacent neighbouring neighboring neighbours",
    "SUCH": "such",
    "OFSIDE": "side sides edge edges",
    "SPLITS": "split splits splitting fork forks forked divide divides dividing divided loop loops",
    "LADDER": "ladder ladders",
    "RUNG": "rung rungs",
    "BRIDGE": "bridge wheatstone",
    "CUBE": "cube",
    "STAR": "star wye",
    # joining
    "SER": "serie* series serial seriel serially serie sereis seri ser. ser chained cascade"
    " consecutive consecutively sequential sequentially",
    "PAR": "para paral* parall* parrall* parel* parallel parallely paralel parallell"
    " paralell parralel parralell parrallel shunt "
    "alongside abreast beside parallelly par ll",
    "JOIN": "connect* join* wire wired wiring place placed places put puts attach* hook* link* "
    "arrang* coupl* solder* add adds added adding insert* stick stuck lies lie sit sits stand "
    "stands hang hangs go goes come comes lead leads leading run runs make makes "
    "made making form forms formed forming consist* compris* contain* mount* set hung bridg* "
    "sitting standing rejoin* reunit* goin stacking "
    "lay lays laid laying bring brings brought hanging fed fit fits fitted built build tie "
    "tied unite united deliver*"
    " combine combined "
    "combining switched meet meets clip* share* sharing insert* slid* slide slides"
    " pour* push* touch* touches tie include* compose* feature* follow* keep kept",
    "TAKE": "take takes taken took use uses used using consider",
    "TOGETHER": "together mutually",
    "CHARGED": "charged charging loaded charge-up precharged pre-charged recharged chargd",
    "APPLY": "obtained applied apply applies maintain* impress* suppl* powered power powers "
    "driven drives "
    "energis* energiz* provid* feed feeds gives give given exist* appear*",
    "DISCON": "disconnect* remov* isolat* unplug* unclip* detach* separat* unhook* undone",
    "TAKEOUT": "withdraw* withdrawn extract*",
    "OFF": "off away out loose gone",
    "LIKE": "like",
    "UNLIKE": "unlike opposite opposing reversed reverse crossed oppositely",
    "POSITIVE": "positive positively",
    "NEGATIVE": "negative negatively",
    "POLARITY": "polarity polarities sign signs",
    "FILL": "fill fills fill*",
    "FACTORW": "times fold factor",
    "DOUBLE": "double* twice",
    "HALVE": "halve*",
    "TRIPLE": "triple* thrice treble*",
    "WIRE": "wires conductor conducting",
    "SWITCH": "switch switches position positions",
    "MOVED": "flip flips flipped opened throw throws thrown moved moves turned turns toggled",
    "SHORT": "shorted short short-circuited shortcircuited",
    "RATED": "rated rate rating ratings withstand withstands maximum max working breakdown"
    " safe tolerate "
    "bear",
    # what is wanted
    "WISHV": "find calculate determine compute work-out evaluate deduce derive obtain"
    " estimate show "
    "state write what whats wats wat wht whts wut "
    "wuts how much which calc calulate wanted want need needed needs "
    "required asked ask tell solve figure prove predict finding "
    "express search searched sought wants",
    "MANY": "many",
    # what is beyond
    "RESISTOR": "resistor resistors ohmic resistance resistances resist* ohmmeter rheostat lamp"
    " bulb led zigzag",
    "INDUCTOR": "inductor inductors inductance coil coils solenoid choke",
    "ALTERNATING": "alternating ac a.c. a.c sinusoidal frequency impedance reactance mains rms "
    "r.m.s.",
    "TIMING": "half-life",
    "CURVED": "sphere spheres spherical cylinder cylindrical coaxial shell shells",
    "SEMI": "diode diodes transistor transistors mosfet opamp op-amp",
    # order and place in a drawing
    "TOP": "top upper above",
    "BOTTOM": "bottom lower below underneath",
    "BRANCH": "branch branches arm arms path paths leg legs rail rails row rows column columns"
    " way track tracks"
    " route routes lane lanes string strings chain chains limb limbs lines ways",
    "MIDDLE": "middle centre center",
    "RESPECTIVELY": "respectively resp order",
    "ABOUT": "about ca approx approximately roughly nearly",
    "PUNCTUAL": "please thanks thank pls plz sir ok",
    # numbers
    "N0.5": "half",
    "N2": "two twin couple-of",
    "N3": "three",
    "N4": "four",
    "N5": "five",
    "N6": "six",
    "N7": "seven",
    "N8": "eight",
    "N9": "nine",
    "N10": "ten",
    "N11": "eleven",
    "N12": "twelve",
    "N15": "fifteen",
    "N18": "eighteen",
    "N16": "sixteen",
    "N14": "fourteen",
    "N13": "thirteen",
    "N20": "twenty",
    "N24": "twenty-four",
    "N30": "thirty",
    "N40": "forty",
    "N50": "fifty",
    "N60": "sixty",
    "N100": "hundred",
}
# Words that look like slips of others and are none.
_LEFT_ALONE: Final = frozenset(
    words("""
    there here separately s vertical horizontal
    change changes changed
    has had we you i he she my your our can could will would shall should may might
    as than so but because diagram figure fig shown below above following student teacher
    please terms correct answer question problem exercise example homework help lab bench box
    kit board shop i'm it's initially different main does do did me us just only still lines
    steady ideal quite round ground earth know known  steps step time  lead thing
    things type types first gives later make drawer tray table hand another these those their
    theirs where while chosen given wait weird brothers sisters friend diode value values
    three starting what'll capable same some come came home someone sometimes
    before
    """)
)
LONGEST_SLIP: Final = 1 / 4  # of the letters, in a word that is taken for another
_SHORTEST: Final = 5  # letters in a word that may be misspelt
_ENDINGS: Final = ("ed", "ing")


@cache  # a pure table, made from the constants above
def _exact() -> Mapping[str, str]:
    table: dict[str, str] = {}
    for concept, words in _WORDS.items():
        for word in words.split():
            table.setdefault(word, concept)
    return table


@cache  # as above
def _openings() -> tuple[tuple[str, str], ...]:
    found = [(word[:-1], concept) for word, concept in _exact().items() if word.endswith("*")]
    return tuple(sorted(found, key=lambda each: -len(each[0])))


def concept_of(word: str) -> str:
    """The concept of a word, "" for a word about nothing that matters here."""
    lower = word.lower().strip("'")
    known = _exact().get(lower)
    if known:
        return known
    if lower == "separately":
        return ""
    for opening, concept in _openings():
        if lower.startswith(opening):
            return concept
    if lower in _LEFT_ALONE or len(lower) < _SHORTEST:
        return ""
    return _exact().get(_meant(lower), "") or _of_its_stem(lower)


def _of_its_stem(word: str) -> str:
    """A verb with a slip in it and an ending, as in conected: its stem is one of the openings."""
    for ending in _ENDINGS:
        stem = word.removesuffix(ending)
        if stem != word and len(stem) >= _SHORTEST and (meant := _meant(stem)).endswith("*"):
            return _exact().get(meant, "")
    return ""


@cache  # as above
def _spellings() -> tuple[str, ...]:
    return tuple(word.rstrip("*") for word in _exact() if len(word) >= _SHORTEST)


def _meant(word: str) -> str:
    from rapidfuzz.distance import DamerauLevenshtein
    from rapidfuzz.process import extractOne

    furthest = max(1, int(len(word) * LONGEST_SLIP))
    found = extractOne(
        word, _spellings(), scorer=DamerauLevenshtein.distance, score_cutoff=furthest
    )
    if found is None or found[0][0] != word[0]:
        return ""
    return found[0] if found[0] in _exact() else f"{found[0]}*"
