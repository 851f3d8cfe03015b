"""What answers each small question that the tutor asks back, and what is said to it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple


class FollowUp(NamedTuple):
    """Words that answer a follow-up and words that answer it wrongly, with what is said to each."""

    right: str
    wrong: str
    yes: str
    no: str


MORE: Final = r"(?:more|bigger|larger|higher|greater|rises?|up|increases?|grows?)"
LESS: Final = r"(?:less|smaller|lower|falls?|down|decreases?|drops?|fewer|shrinks?)"
YES: Final = r"(?:yes|yeah|yep|yup|sure|it does|it would|they are|they do|true|ja)"
NO: Final = r"(?:no|nope|nah|not|never|cannot|can't|n't|doesn't|false|nein)"
CHARGE: Final = r"(?:charges?|q|coulombs?)"
PD: Final = r"(?:p\.?\s?d\.?s?|voltages?|volts?|potential differences?|v|u)"
RECIPROCALS: Final = r"(?:1\s*/\s*c|one over c?|reciprocals?|inverses?|upside.?down)"
CAPACITANCES: Final = r"(?:(?<!/)(?<!/ )(?<!over )c|capacitances?|the values)"
ALONG: Final = "Along a chain the charge is the same and the p.d.s add."
ITEMS: Mapping[str, FollowUp] = MappingProxyType({
    "adds-a-series-pair": FollowUp(
        rf"{CHARGE}\b.*\b(?:same|stays|one|{PD})|same.*\b{CHARGE}|^\W*(?:the )?{CHARGE}\W*$"
        rf"|{PD}.*\badds?",
        rf"capacitances?\s+adds?|{CHARGE}\s+adds?|same\s+{PD}|^\W*(?:the )?{PD}\W*$",
        ALONG, ALONG,
    ),
    "subtracts-in-a-chain": FollowUp(
        rf"{PD}|{RECIPROCALS}", rf"{CHARGE}|{CAPACITANCES}", ALONG, ALONG,
    ),
    "turns-over-the-sum": FollowUp(
        r"turn\w*|flip\w*|revers\w*|reciproc\w*|1\s*/\s*c", r"add\w*|sum\w*",
        "First each is turned over, then they are added, and the sum is turned back.",
        "Each p.d. is the charge over its own capacitance, so each is turned over by itself first.",
    ),
    "divides-for-the-charge": FollowUp(
        r"doubl\w*|twice|two times|x\s*2|\*\s*2", rf"halv\w*|half|same|{LESS}",
        "Twice the p.d. goes with twice the charge.",
        "Twice the p.d. on one capacitor goes with twice the charge.",
    ),
    "multiplies-for-the-pd": FollowUp(
        r"small\w*|little|less", r"large\w*|big\w*|more",
        "A small capacitance needs more p.d. for the same charge.",
        "A large capacitance holds more for each volt, so it needs less p.d. for the same charge.",
    ),
    "upside-down-pd": FollowUp(
        MORE, LESS, "More charge on it, more p.d. across it.",
        "Each further bit of charge is pushed on against what is there: the p.d. rises.",
    ),
    "multiplies-by-c-in-the-charge-form": FollowUp(
        LESS, MORE, "Less p.d. for that charge, so less energy.",
        "A bigger capacitor needs less p.d. for the same charge, and so less energy.",
    ),
    "charge-times-pd-without-half": FollowUp(
        NO, YES, "The first bit crossed hardly any p.d., the last one nearly all.",
        "When charging began there was no p.d. yet to be crossed.",
    ),
    "reciprocal-rule-on-parallel": FollowUp(
        MORE, LESS, "For each volt both take charge.",
        "At each volt the one that is put beside takes its own charge as well.",
    ),
    "adds-reciprocals-of-parallel": FollowUp(
        r"same|one|equal|full", r"shares?|split|parts?|divided",
        "One and the same p.d., so the charges add.",
        "All join the same two points, so one and the same p.d. is across each.",
    ),
    "largest-only": FollowUp(
        NO, YES, "Each holds its own charge, whatever is beside it.",
        "Its two ends still have the same p.d. between them, so it still holds charge.",
    ),
    "multiplies-equal-ones-in-a-chain": FollowUp(
        LESS, MORE, "In a chain each gets only part of the p.d.",
        "In a chain each gets only part of the p.d., so less charge comes for each volt.",
    ),
    "divides-equal-ones-in-parallel": FollowUp(
        MORE, LESS, "Side by side all take charge.",
        "Side by side each takes its own charge at the full p.d.",
    ),
    "takes-the-average": FollowUp(
        LESS + "|below|under", MORE + "|above|over|between", "It lies below the smallest.",
        "Each gets only part of the p.d., so the chain holds less for each volt than any member.",
    ),
    "product-over-sum-on-three": FollowUp(
        r"two|2|pair", r"three|3|any|all|four|4", "For two at a time.",
        "It comes from adding two fractions: it holds for two at a time.",
    ),
    "resistor-rules-throughout": FollowUp(
        CHARGE, rf"{PD}|current", "One charge all along the chain.",
        "The metal between two of a chain is cut off: what is the same there is the charge.",
    ),
    "keeps-the-energy": FollowUp(
        CHARGE, rf"energy|{PD}", "The charge has nowhere to go.",
        "Energy can leave as heat; look at what has no way out of the joined metal.",
    ),
    "supply-on-keeps-the-charge": FollowUp(
        r"supply|battery|source|cell|it does", rf"{CHARGE}|nothing|capacitor",
        "The supply does.", "While the supply is joined it holds the p.d. between its ends.",
    ),
    "supply-off-keeps-the-pd": FollowUp(
        r"nowhere|nothing|none|no(?:where| way| place)|not", r"supply|battery|source",
        "Nowhere: so the charge stays.",
        "The supply is gone, so no charge can come from it.",
    ),
    "gap-upside-down": FollowUp(
        MORE, LESS, "The same charge needs more p.d. over a wider gap.",
        "The field between the plates stays and the way is longer, so the p.d. rises.",
    ),
    "filling-lowers-the-capacitance": FollowUp(
        MORE, LESS, "The same charge over less p.d. is more.",
        "The same charge over a smaller p.d. is a larger quotient.",
    ),
    "adds-stacked-layers": FollowUp(
        r"all|both|every|each", r"one|single", "All of them, one after the other.",
        "From plate to plate the line goes through each layer in turn.",
    ),
    "adds-the-pds": FollowUp(
        NO, YES, "It lies between them.",
        "Charge flows from the higher to the lower until both agree, so it ends between them.",
    ),
    "forgets-to-square": FollowUp(
        r"coulombs?|charge|µ?u?c", r"joules?|energy|volts?|farads?",
        "A charge: so there is no energy in it yet.",
        "Farads times volts are coulombs: a charge, and no energy.",
    ),
    "squares-the-whole-product": FollowUp(
        rf"{PD}|only v|the v|v only", r"c|capacitances?|both|all",
        "To the p.d. alone.", "It stands at the p.d. alone: C is taken once.",
    ),
    "no-half-in-the-charge-form": FollowUp(
        r"stays?|below|under|still there|remains?|½|1/2|half|bottom",
        r"gone|cancels?|vanish\w*|away",
        "It stays below the line.", "Nothing cancels it: it stays below the line.",
    ),
    "shares-the-energy-equally": FollowUp(
        rf"(?:same )?{CHARGE}|(?:same )?{PD}", r"neither|none|no",
        "One of the two is shared. Then the other decides how the energy goes.",
        "One of the two is shared here: see how they are joined.",
    ),
    "adds-fractions-keeping-one-on-top": FollowUp(
        r"one|1|whole", r"½|half|1/2|quarter|¼|1/4",
        "Two halves are one, and the rule would say a half.",
        "Two halves make a whole one, whatever that rule says.",
    ),
    "adds-fractions-top-and-bottom": FollowUp(
        NO + r"|never|impossible|2/5", YES,
        "It would say 2/5, which is less than the half alone: so it cannot be the rule.",
        "A sum of two positive numbers is more than either, and 2/5 is less than a half.",
    ),
    "forgets-the-last-flip": FollowUp(
        r"(?:one|1)\s*(?:over|per|/)\s*[pnuµ]?\w*|per \w+|reciprocal\w*|inverse",
        r"[pnuµ]f|\w*farads?",
        "So it is one over a capacitance, and still to be turned over.",
        "Its unit is one over that: it is one over a capacitance.",
    ),
    "halves-one-of-them": FollowUp(
        NO + r"|different|unequal", YES,
        "Halving needs two equal ones.", "Look at the two numbers again: halving needs equal ones.",
    ),
    "product-only": FollowUp(
        r"sum|added|both together|total|plus", r"product|each|one of them|two|2",
        "By their sum: product over sum.", "By one capacitance: that is the sum of the two.",
    ),
    "weakest-link": FollowUp(
        r"nothing|none|zero|0|no", r"all|same|half|rest",
        "Nothing, and yet they hold the same charge: that cannot be.",
        "Nothing would be left for the others, though they hold the same charge.",
    ),
    "calculator-without-brackets": FollowUp(
        r"one|first|only", r"all|sum|both|whole",
        "So put brackets round the sum.", "Then try it once more with brackets round the sum.",
    ),
    "stops-at-a-part": FollowUp(
        r"two|2|three|3|four|4|more|another", r"one|1|none|only",
        "So the block is only a part.", "Beside that block there is more between the ends.",
    ),
    "blocks-so-nothing-counts": FollowUp(
        r"moved|electrons?|battery|supply|flow\w*|current|push\w*", r"not|never|nothing",
        "Charge moved round the outside while the p.d. grew.",
        "While the p.d. grew, charge moved from one plate round to the other.",
    ),
    "full-supply-pd-on-each": FollowUp(
        r"nothing|none|zero|0|no", r"same|all|half|rest",
        "Nothing, though they hold the same charge: that cannot be.",
        "Along a chain the p.d.s add up to the whole: nothing would be left.",
    ),
    "splits-the-charge-along-a-chain": FollowUp(
        r"nowhere|nothing|none|no(?:where| way| place)", r"next|other|back|supply|battery|out|wire",
        "Nowhere: so each holds all of it.",
        "Between two of a chain the metal is cut off: there is nowhere to go.",
    ),
    "all-the-charge-on-each-branch": FollowUp(
        r"nothing|none|zero|0|no", r"same|all|half|rest",
        "Nothing, and yet the same p.d. is across them: that cannot be.",
        "The total is all there is: nothing would be left for the other branches.",
    ),
    "blocks-charge-on-each-branch": FollowUp(
        r"nothing|none|zero|0|no", r"same|all|half|rest",
        "Nothing, and yet the same p.d. is across them.",
        "All is all: none would be left for them.",
    ),
    "splits-charge-the-series-way": FollowUp(
        r"large\w*|big\w*", r"small\w*|little",
        "The largest, since Q = C V at one p.d.", "At one p.d. the larger capacitance holds more.",
    ),
    "pd-in-proportion-to-capacitance": FollowUp(
        r"small\w*|little", r"large\w*|big\w*",
        "The smallest, since V = Q/C at one charge.",
        "At one charge the smaller capacitance needs more p.d.",
    ),
    "charged-capacitor-is-a-wire": FollowUp(
        r"nothing|none|zero|0|no|empty", r"same|full|more",
        "Nothing: but it is charged, so there is a p.d. across it.",
        "Q = C V: without a p.d. there would be no charge.",
    ),
    "rounds-early": FollowUp(
        r"round\w*", r"all|full|every|exact",
        "Carry a figure or two more until the end.", "Then look at the line before it once more.",
    ),
    "keeps-a-bypassed-capacitor": FollowUp(
        r"nothing|none|zero|0|no", r"supply|full|same|all",
        "No p.d., and so no charge.", "A wire is one piece of metal: no p.d. between its two ends.",
    ),
    "counts-a-dead-end-in-the-chain": FollowUp(
        r"none|no way|nowhere|nothing|no", r"through|wire|battery|supply|from",
        "By none: so it holds nothing.",
        "Nothing else is joined on its far side: no charge comes there.",
    ),
    "gives-a-dead-end-charge": FollowUp(
        NO, YES, "So no charge comes to it.",
        "Its far side leads nowhere: so no charge comes to it.",
    ),
    "halves-the-charge": FollowUp(
        r"move\w*|not equal|unequal|different|no|flow\w*", r"equal|yes|same|stays?",
        "So charge moves on until the p.d.s are equal.",
        "Equal charges on unequal capacitances are unequal p.d.s: charge moves on.",
    ),
    "averages-the-pds": FollowUp(
        r"large\w*|big\w*", r"small\w*|little|both|same|neither",
        "The larger, so it pulls the common p.d. harder.",
        "Q = C V: the larger takes more for each volt, and so counts more.",
    ),
    "joined-pair-as-a-chain": FollowUp(
        r"two|2|both", r"one|1|none",
        "Both: they are side by side.", "Both their ends are joined: two points in common.",
    ),
    "energy-changes-the-wrong-way": FollowUp(
        r"q\W?2?\W*/?\s*(?:2\s*)?c|c\s*v|charge form|with q|with v", r"q\s*v",
        "With what is fixed in it, only C decides.",
        "In that one both Q and V stand, and one of them changes.",
    ),
    "midpoint-at-half-the-supply": FollowUp(
        NO, YES, "So it lies elsewhere.",
        "Put them in with their signs: they do not add up to zero.",
    ),
    "weights-the-wrong-way": FollowUp(
        r"large\w*|big\w*", r"small\w*|little",
        "So it pulls hardest.", "It is the largest capacitance that pulls hardest.",
    ),
    "slips-on-a-sign-in-the-balance": FollowUp(
        NO, YES, "So a sign is turned somewhere.", "Compare once more: it lies outside them.",
    ),
    "puts-the-total-charge-on-a-floating-point": FollowUp(
        NO + r"|uncharged|empty|neutral", YES,
        "So the charges of its plates add up to zero.",
        "It began uncharged, and nothing can reach it: its charges add up to zero.",
    ),
    "treats-the-bridging-capacitor-as-a-wire": FollowUp(
        r"nothing|none|zero|0|no", r"same|full|more|large\w*",
        "Nothing, and here it holds charge.",
        "Between one point and itself there is no p.d., so no charge.",
    ),
    "star-and-triangle-as-for-resistors": FollowUp(
        r"large\w*|big\w*|more", r"small\w*|less",
        "Larger: three times.", "For capacitances they are larger: three times a side.",
    ),
    "takes-capacitances-apart-in-a-chain": FollowUp(
        RECIPROCALS, CAPACITANCES, "Of 1/C: so reciprocals are taken apart.",
        "Along a chain the p.d.s add, and with them 1/C.",
    ),
    "adds-the-pair-of-a-chain": FollowUp(
        RECIPROCALS, CAPACITANCES, "1/C adds up.",
        "Along a chain the p.d.s add, and with them 1/C.",
    ),
    "takes-reciprocals-apart-side-by-side": FollowUp(
        CAPACITANCES + r"|adds?|plain|straight", RECIPROCALS,
        "Capacitances add side by side.", "Side by side the charges add, and with them C.",
    ),
    "counts-plates-for-gaps": FollowUp(
        r"two|2", r"three|3|one|1|four|4", "Two: one less than the plates.",
        "Between three plates there are two gaps.",
    ),
    "field-times-for-over": FollowUp(
        r"over|divided|per|/", r"times|multipl\w*|\*",
        "Volts over metres.", "Volts for each metre: volts over metres.",
    ),
    "pulls-with-the-whole-field": FollowUp(
        r"half|½|1/2", r"all|whole|full", "Half of it.", "Each plate makes half of it.",
    ),
    "takes-the-logarithm-to-base-ten": FollowUp(
        r"ln", r"log|lg", "The key ln.", "That is the key ln; log is to base ten.",
    ),
    "takes-the-diameter-for-the-radius": FollowUp(
        r"half\w*|radius", r"diameter|full|whole", "Half of the diameter.",
        "From the middle it is half of the way across.",
    ),
    "supply-gave-only-what-is-stored": FollowUp(
        rf"q\s*v|{PD}|full|charge times", r"half|½|1/2",
        "So all of it is charge times the full p.d.",
        "Its p.d. is the same from first to last: charge times the full p.d.",
    ),
})
OF_HINTS: Mapping[str, FollowUp] = MappingProxyType({
    "series adds": FollowUp(
        RECIPROCALS, CAPACITANCES, "1/C adds up.",
        "With one charge on all, each p.d. is that charge over its own C, and the p.d.s add.",
    ),
    "parallel adds": FollowUp(
        r"adds?|sum|plus|together|grow", RECIPROCALS + "|divide|share",
        "They add.", "At one p.d. the charges add, so the capacitances do.",
    ),
    "V": FollowUp(r"small\w*|little|less", r"large\w*|big\w*|more", "A small one.",
              "A large one holds more for each volt, so it needs less p.d."),
    "Q": FollowUp(r"doubl\w*|twice", r"halv\w*|half|same", "It would double too.",
              "Twice the p.d. goes with twice the charge."),
    "E": FollowUp(r"half\w*|halv\w*|1/2|½", r"full|all|whole|same", "Half of what it came to.",
              "It began at zero, so on average it was half of what it came to."),
})
