"""Every wrong idea in a few plain words, as in 'adds a chain as if side by side', and its skill."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple


class Described(NamedTuple):
    """``words`` say what someone does who has the idea; ``skill`` is the code of what it spoils."""

    words: str
    skill: str


ONE_CAPACITOR: Mapping[str, Described] = MappingProxyType({
    "capacitance-grows-with-the-supply":
        Described("takes the capacitance to grow with the supply", "S01"),
    "tests-the-wrong-pairs": Described("compares the wrong pairs of a bridge for balance", "S36"),
    "divides-for-the-charge": Described("divides where Q = C V multiplies", "S02"),
    "multiplies-for-the-pd": Described("multiplies by C to find a p.d. from a charge", "S02"),
    "upside-down-pd": Described("takes C over Q for the p.d.", "S02"),
    "counts-both-plates": Described("counts the charge of both plates", "S01"),
    "net-charge-is-nought": Described("says the charge is zero, since + and − cancel", "S01"),
    "blocks-so-nothing-counts":
        Described("takes what follows a capacitor as cut off, so that nothing counts", "S01"),
    "charged-capacitor-is-a-wire": Described("treats a charged capacitor as a wire", "S01"),
    "leaves-out-the-half": Described("leaves the half out of ½ C V²", "S24"),
    "charge-times-pd-without-half": Described("leaves the half out of ½ Q V", "S24"),
    "no-half-in-the-charge-form": Described("leaves the half out of Q²/(2C)", "S24"),
    "forgets-to-square": Described("forgets to square the p.d. in the energy", "S24"),
    "squares-the-whole-product": Described("squares C as well as the p.d. in the energy", "S24"),
    "multiplies-by-c-in-the-charge-form":
        Described("multiplies by C where the energy is Q²/(2C)", "S24"),
    "energy-at-the-supply-pd":
        Described("takes the supply's p.d. for the energy of an inner capacitor", "S24"),
    "energy-with-the-total-charge":
        Described("takes the total charge for the energy of one capacitor", "S24"),
    "energy-of-the-whole-for-a-part":
        Described("gives one capacitor the energy of the whole network", "S24"),
    "energy-doubles-with-the-pd": Described("doubles the energy when the p.d. doubles", "S24"),
    "shares-the-energy-equally": Described("shares the energy out equally", "S25"),
    "energy-in-proportion-to-capacitance":
        Described("shares the energy in proportion to capacitance everywhere", "S25"),
    "energy-with-the-sum-of-capacitances":
        Described("adds all capacitances up for the energy of a network", "S25"),
})

COMBINING: Mapping[str, Described] = MappingProxyType({
    "adds-a-series-pair": Described("adds a chain as if side by side", "S11"),
    "adds-fractions-keeping-one-on-top":
        Described("adds fractions by adding what is below the line", "S11"),
    "forgets-the-last-flip": Described("adds the reciprocals and stops before turning over", "S11"),
    "sum-over-product": Described("takes sum over product for two in a chain", "S11"),
    "turns-over-the-sum": Described("adds first and then turns the sum over", "S11"),
    "product-over-sum-on-three":
        Described("uses product over sum on three or more at once", "S12"),
    "takes-the-average": Described("takes the average for a chain", "S11"),
    "adds-fractions-top-and-bottom":
        Described("adds fractions above and below the line", "S11"),
    "halves-one-of-them": Described("halves one of two unequal ones in a chain", "S11"),
    "product-only": Described("multiplies two in a chain and stops there", "S11"),
    "weakest-link": Described("takes the smallest of a chain for the whole of it", "S13"),
    "subtracts-in-a-chain": Described("takes one from the other in a chain", "S11"),
    "stops-after-two-of-three": Described("leaves members of a longer chain out", "S12"),
    "multiplies-equal-ones-in-a-chain":
        Described("multiplies by their number for equal ones in a chain", "S12"),
    "calculator-without-brackets":
        Described("types product over sum without brackets round the sum", "S04"),
    "mixes-prefixes-in-reciprocals":
        Described("adds reciprocals of values with different prefixes", "S03"),
    "reciprocal-rule-on-parallel":
        Described("uses the reciprocal rule on capacitors side by side", "S10"),
    "adds-reciprocals-of-parallel":
        Described("adds reciprocals of capacitors side by side", "S10"),
    "average-of-parallel": Described("takes the average for capacitors side by side", "S10"),
    "largest-only": Described("takes the largest branch for all of them", "S10"),
    "divides-equal-ones-in-parallel":
        Described("divides by their number for equal ones side by side", "S10"),
    "adds-members-of-a-series-branch":
        Described("adds the members of a chain that is one branch", "S14"),
    "leaves-a-branch-out": Described("leaves a branch out", "S10"),
    "hangs-the-equivalent-on-wrong-points":
        Described("puts the equivalent of a chain between the wrong points", "S15"),
    "counts-a-capacitor-twice":
        Described("uses a capacitor again that has been combined already", "S15"),
    "resistor-rules-throughout": Described("uses the rules for resistors", "S11"),
    "stops-at-a-part": Described("gives one block for the whole network", "S14"),
    "longer-chain-holds-more": Described("expects a longer chain to hold more", "S13"),
})

READING: Mapping[str, Described] = MappingProxyType({
    "copies-a-neighbours-value": Described("copies the value of another capacitor", "S05"),
    "misses-that-a-wire-makes-one-point":
        Described("takes points that a wire joins as different", "S05"),
    "looks-side-by-side":
        Described("takes capacitors as parallel by how the drawing looks", "S06"),
    "joins-two-that-share-one-point":
        Described("makes a chain of two although more meet at their point", "S07"),
    "runs-a-chain-through-a-terminal": Described("runs a chain on through an end", "S07"),
    "keeps-a-bypassed-capacitor": Described("keeps a capacitor that a wire bypasses", "S16"),
    "counts-a-dead-end-in-the-chain": Described("counts a dead end as part of a chain", "S17"),
    "counts-a-dead-end-as-parallel": Described("counts a dead end as a branch", "S17"),
    "gives-a-dead-end-charge": Described("gives a dead end a charge", "S17"),
    "prefix-slip-of-a-thousand": Described("slips by a thousand between prefixes", "S03"),
    "prefix-slip-of-a-million-or-more":
        Described("slips by a million or more between prefixes", "S03"),
    "squares-the-number-not-the-prefix":
        Described("squares the number but not its prefix", "S03"),
    "wrong-kind-of-unit": Described("gives a value the unit of another quantity", "S03"),
    "rounds-early": Described("goes on from a rounded value", "S04"),
    "too-few-figures": Described("gives too few figures", "S04"),
    "cuts-off-instead-of-rounding": Described("cuts figures off instead of rounding", "S04"),
})

WORKING_BACK: Mapping[str, Described] = MappingProxyType({
    "series-shares-the-pd": Described("says that a chain shares its p.d.", "S09"),
    "parallel-shares-the-charge": Described("says that a parallel set shares its charge", "S08"),
    "splits-the-pd-equally": Described("shares the p.d. of a chain out equally", "S21"),
    "pd-in-proportion-to-capacitance":
        Described("gives the larger of a chain the larger p.d.", "S21"),
    "full-supply-pd-on-each": Described("gives each of a chain all of the p.d.", "S21"),
    "two-share-rule-on-three":
        Described("uses the sharing rule for two on three or more", "S21"),
    "potential-for-pd": Described("gives a potential where a p.d. is asked for", "S21"),
    "own-capacitance-times-supply":
        Described("multiplies one of a chain by all of the supply's p.d.", "S19"),
    "adds-charges-along-a-chain": Described("adds the charges along a chain", "S19"),
    "splits-the-charge-along-a-chain": Described("divides the charge along a chain", "S19"),
    "all-the-charge-on-each-branch": Described("gives each branch all of the charge", "S20"),
    "splits-pd-between-branches": Described("divides the p.d. between branches", "S20"),
    "splits-charge-equally-between-branches":
        Described("shares charge equally between unequal branches", "S22"),
    "splits-charge-the-series-way":
        Described("gives the smaller branch the larger charge", "S22"),
    "supply-pd-on-an-inner-block": Described("gives an inner part the supply's p.d.", "S23"),
    "blocks-charge-on-each-branch":
        Described("gives each branch all the charge that enters its block", "S23"),
    "total-charge-on-a-branch": Described("gives one branch the total charge", "S23"),
    "whole-equivalent-for-a-part":
        Described("uses the whole network's capacitance for one part", "S23"),
})

PROBLEMS_IN_STAGES: Mapping[str, Described] = MappingProxyType({
    "keeps-the-energy": Described("keeps the energy when capacitors are joined", "S32"),
    "keeps-the-pd": Described("keeps the p.d. of one when capacitors are joined", "S32"),
    "halves-the-charge": Described("shares charge equally between joined capacitors", "S32"),
    "averages-the-pds": Described("takes the mean p.d. of unequal joined capacitors", "S32"),
    "adds-the-pds": Described("adds the p.d.s of joined capacitors", "S32"),
    "joined-pair-as-a-chain": Described("takes a joined pair as a chain", "S32"),
    "adds-unlike-charges": Described("adds charges of unlike sign", "S33"),
    "subtracts-like-charges": Described("subtracts charges of like sign", "S33"),
    "no-energy-is-lost": Described("says that joining loses no energy", "S34"),
    "compares-one-capacitor-only":
        Described("compares the energy of one capacitor instead of all", "S34"),
    "supply-gave-only-what-is-stored":
        Described("takes the supply's work to be the energy stored", "S34"),
    "supply-on-keeps-the-charge":
        Described("keeps the charge although the supply stays on", "S29"),
    "supply-off-keeps-the-pd": Described("keeps the p.d. although the supply is off", "S29"),
    "energy-changes-the-wrong-way": Described("lets the energy change the wrong way", "S29"),
    "midpoint-at-half-the-supply": Described("puts a floating point at half the supply", "S37"),
    "weights-the-wrong-way":
        Described("lets the smallest capacitance pull a floating point hardest", "S37"),
    "slips-on-a-sign-in-the-balance": Described("slips on a sign in a charge balance", "S37"),
    "puts-the-total-charge-on-a-floating-point":
        Described("gives a floating point the whole charge", "S37"),
    "counts-one-way-out-of-the-terminal":
        Described("counts one of several ways out of the + end", "S38"),
    "drops-the-bridging-capacitor": Described("leaves out the bridging capacitor", "S35"),
    "treats-the-bridging-capacitor-as-a-wire":
        Described("takes the bridging capacitor as a wire", "S35"),
    "takes-capacitances-apart-in-a-chain":
        Described("subtracts capacitances to find one missing in a chain", "S27"),
    "takes-reciprocals-apart-side-by-side":
        Described("subtracts reciprocals to find one missing side by side", "S27"),
    "takes-the-ratio-for-the-share":
        Described("divides a sum by a ratio instead of by one part more", "S27"),
    "takes-the-difference-off-once":
        Described("does not halve what a sum leaves without the difference", "S27"),
    "adds-the-pair-of-a-chain": Described("takes a chain for the sum of its two", "S27"),
    "halves-the-sum-of-two": Described("takes two unequal values as equal", "S27"),
    "takes-the-chain-for-the-product":
        Described("takes a chain of two for their product", "S27"),
    "filling-lowers-the-capacitance":
        Described("lets a filling lower the capacitance", "S30"),
    "gap-upside-down": Described("lets a wider gap raise the capacitance", "S30"),
    "adds-the-permittivity": Described("adds the relative permittivity on", "S30"),
    "takes-one-rating-for-the-whole-chain":
        Described("takes one rating for a whole chain", "S28"),
    "adds-stacked-layers": Described("adds layers that lie on one another", "S31"),
    "area-unit-slip": Described("turns an area into m² as if it were a length", "S03"),
    "leaves-the-filling-out": Described("leaves what is between out of the sum", "S30"),
    "counts-plates-for-gaps": Described("counts plates where gaps count", "S30"),
    "field-times-for-over": Described("multiplies p.d. and gap for a field", "S30"),
    "pulls-with-the-whole-field": Described("lets the whole field pull on a plate", "S30"),
    "takes-the-logarithm-to-base-ten": Described("takes the logarithm to base ten", "S30"),
    "adds-the-two-radii": Described("adds radii where their difference counts", "S30"),
    "takes-the-diameter-for-the-radius": Described("takes a diameter for a radius", "S30"),
    "adds-the-ratings-of-a-chain": Described("adds the ratings along a chain", "S28"),
    "adds-or-takes-the-largest-rating":
        Described("adds ratings side by side, or takes the largest", "S28"),
    "star-and-triangle-as-for-resistors":
        Described("puts star for triangle by the rule for resistors", "S39"),
})

DESCRIBED: Mapping[str, Described] = MappingProxyType(
    {**ONE_CAPACITOR, **COMBINING, **READING, **WORKING_BACK, **PROBLEMS_IN_STAGES}
)
