"""What words stand for when people speak of a network: a concept for each, by its stem.

Words stand here as their stems, as the Snowball stemmer for English gives them, so that one entry
serves connect, connects, connected and connecting; what it does not bring together (leave, left)
stands twice. Several words that mean one thing together stand among the phrases.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

# Several words that make one. The replacement is a word of the lexicon, or one made for this.
PHRASES: Mapping[str, str] = MappingProxyType({
    "nothing else": "nothingelse", "no one else": "nothingelse", "no other": "nothingelse",
    "none other": "nothingelse", "nobody else": "nothingelse", "nowhere else": "nowhereelse",
    "not anything else": "nothingelse", "nothing more": "nothingelse",
    "that is it": "nothingelse", "that is all": "nothingelse",
    "end of story": "nothingelse", "anything else but": "except", "anything but": "except",
    "anything other than": "except", "in the air": "isolated", "in mid air": "isolated",
    "neither pole": "no supply", "either pole": "supply", "the poles": "supply",
    "nothing but": "only",
    "no more than": "only", "no third": "nothingelse", "no further": "nothingelse",
    "none but": "only", "on its own": "isolated", "on their own": "isolated",
    "has no connection": "is isolated", "has no connections": "is isolated",
    "by itself": "isolated", "closed off": "isolated", "cut off": "isolated",
    "shut off": "isolated", "blocked off": "isolated", "walled off": "isolated",
    "split off": "split", "branch off": "split", "sealed off": "isolated",
    "no man s land": "isolated", "no charge overall": "neutral", "no overall charge": "neutral",
    "no net charge": "neutral", "no net": "neutral", "net zero": "neutral", "no total": "neutral",
    "no charge in all": "neutral", "adds to zero": "neutral", "add to zero": "neutral",
    "add up to zero": "neutral", "adds up to zero": "neutral", "sums to zero": "neutral",
    "sum to zero": "neutral", "cancel out": "neutral", "cancels out": "neutral",
    "no charge to begin with": "neutral", "no charge to start with": "neutral",
    "potential difference": "pd", "potential differences": "pd", "p d": "pd", "p ds": "pd",
    "pot diff": "pd", "potential drop": "pd", "voltage drop": "pd",
    "one after the other": "inseries", "one after another": "inseries",
    "one behind the other": "inseries", "one comes after the other": "inseries",
    "after each other": "inseries", "after one another": "inseries", "in a row": "inseries",
    "end to end": "inseries", "in a line": "inseries", "in line": "inseries",
    "follow each other": "inseries", "follow one another": "inseries",
    "side by side": "nextto", "next to": "nextto", "close to": "nextto", "close together": "nextto",
    "in between": "between", "each other": "eachother", "one another": "eachother",
    "used up": "usedup", "use up": "usedup", "uses up": "usedup", "passes on the rest": "usedup",
    "hands on": "usedup", "pass on": "passon", "passes on": "passon", "end up": "arrive",
    "ends up": "arrive", "cut up": "split", "cuts up": "split", "ended up": "arrive",
    "cut in pieces": "split", "in pieces": "split", "in slices": "split", "in parts": "split",
    "side road": "branch", "side street": "branch", "side way": "branch",
    "share out": "split", "shared out": "split",
    "shares out": "split", "same size": "equalsize", "same value": "equalsize",
    "same values": "equalsize", "same capacitance": "equalsize", "same capacitances": "equalsize",
    "same number of farads": "equalsize", "same capacity": "equalsize",
    "equal and opposite": "opposite", "as well": "too", "not because": "notbecause",
    "not since": "notbecause", "the rest of the circuit": "elsewhere",
    "rest of the network": "elsewhere", "rest of the circuit": "elsewhere",
    "outside world": "elsewhere", "so does": "too", "so do": "too", "so is": "too",
    "so are": "too", "just is": "is", "short circuit": "short",
})

# Each concept with the stems of its words.
CONCEPTS: Mapping[str, str] = MappingProxyType({
    "neg": "not no never none neither nor without noth nobodi nowher hard nowhereels",
    "only": "onli just sole alon exclus nothingels nowhereels exact",
    "else": "els other anoth further third anyth anywher someth elsewher rest remain anyon outsid"
            " differ more extra thing",
    "same": "same common share mutual ident coincid",
    "both": "both each all everi they them these togeth either two",
    "one": "one singl",
    "two": "two 2 pair coupl",
    "three": "three 3 four 4 five 5",
    "point": "point node junction dot join termin connector lead leg pin spot place corner",
    "end": "end endpoint side termin top bottom left right start finish lead leg",
    "plural": "points nodes junctions dots ends terminals leads legs pins spots places sides"
              " wires tops bottoms endpoints rails lines connectors conductors lefts rights",
    "metal": "wire metal piec conductor bit section segment part middl centr center inner insid"
             " island stretch link line rail",
    "between": "between middl inner insid centr center",
    "there": "there here",
    "plate": "plate foil sheet electrod",
    "cap": "capacitor cap condens",
    "join": "connect join attach link wire meet met touch hang hung hook tie ti contact bridg"
            " go goe run ran sit sat stand stood span end come came start begin lie lead fasten"
            " clip solder reach share fed put belong",
    "cut": "isol float insul seal trap stuck strand enclos maroon island lone captiv"
           " disconnect separ unconnect lock stranded",
    "way": "way path rout exit escap entri door nowher nowhereels",
    "inout": "in out on off into onto away enter leav left escap insid",
    "leave": "leav left off push repel lose lost drive driven displac remov from give out goe",
    "arrive": "arriv land onto receiv gain get got come came take end appear on goe go pull",
    "move": "move flow pass travel go goe went come came get got enter leav left escap run jump"
            " cross transfer add remov arriv reach swap exchang gain lose bring hop passon push",
    "through": "through across over jump cross",
    "hop": "jump cross hop leap",
    "gap": "gap dielectr insul air space",
    "split": "split divid branch fork share separ carv slice chop",
    "branch": "branch fork junction split splitting tee turn",
    "used": "usedup consum spend spent weaken",
    "portion": "share part some bit half rest remain left remaind portion",
    "keep": "take keep store absorb stop",
    "rest": "rest remain remaind left leftov passon",
    "charge": "charg electron coulomb microcoulomb nanocoulomb q carrier proton",
    "electron": "electron",
    "current": "current amp amper stream",
    "pd": "pd voltag volt voltmet v u tension spannung",
    "potential": "potenti level height",
    "supply": "batteri suppli cell sourc emf power generat psu pole",
    "ground": "ground earth",
    "equal": "equal equalsize ident alik match fit twin",
    "size": "size thick thin wide width",
    "leak": "leak seep",
    "near": "nextto besid adjac neighbour neighbor close near alongsid nearbi",
    "series": "seri chain inseri row queue string sequenc success",
    "parallel": "parallel",
    "neutral": "neutral 0 zero nought uncharg net cancel balanc nil empti unchang",
    "opposite": "opposit minus negat induc mirror attract",
    "swap": "swap exchang trade shift rearrang redistribut separ shuffl",
    "conserve": "conserv creat destroy",
    "add": "add sum total",
    "across": "across straight direct",
    "send": "send give push suppli provid deliv sent gave suppli pump",
    "meter": "meter voltmet probe multimet",
    "be": "is are was were be has have had ha hav doe do did stay remain",
    "because": "becaus sinc for as cos cuz bc",
    "so": "so therefor henc thus then",
    "but": "but while wherea which where when and",
    "quantity": "charg pd voltag volt tension spannung energi current capacit",
})

# Spoken forms that would be lost in their stem, or that people run together.
CONTRACTIONS: Mapping[str, str] = MappingProxyType({
    "isnt": "is not", "arent": "are not", "wasnt": "was not", "werent": "were not",
    "dont": "do not", "doesnt": "does not", "didnt": "did not", "cant": "can not",
    "cannot": "can not", "couldnt": "could not", "wont": "will not", "hasnt": "has not",
    "havent": "have not", "wouldnt": "would not", "aint": "is not", "theres": "there is",
    "thats": "that is", "its": "it is", "theyre": "they are", "nothings": "nothing is",
    "whats": "what is", "im": "i am", "ive": "i have", "theyve": "they have", "bcs": "because",
    "coz": "because", "cuz": "because", "bc": "because", "cus": "because", "cos": "because",
    "btwn": "between", "caps": "capacitors", "conn": "connected", "w": "with", "batt": "battery",
    "pds": "pd", "iso": "isolated", "u": "you",
})

OPPOSITE_SIDES = (
    ("left", "right"), ("top", "bottom"), ("top", "below"), ("above", "below"),
    ("start", "end"), ("start", "finish"), ("plus", "minus"),
    ("upper", "lower"), ("one", "other"), ("beginning", "end"),
    ("positive", "negative"), ("one", "another"), ("begin", "end"), ("starts", "ends"),
    ("tops", "bottoms"), ("lefts", "rights"), ("near", "far"), ("front", "back"),
)

# Common words that must never be taken for misspellings of words above.
COMMON_WORDS = (
    "the a an of to at by with and or it this that who what why how there here their its our my "
    "your his her i you we he she can could will would shall should must may might about very "
    "really quite too also than then if when where which while some any much many few most such "
    "own said say says think know look looks see saw even ever always still yet already once "
    "again because makes make made let lets need needs want wants means mean like likes first "
    "second last next up down over under after before inside through does done doing been being "
    "them theirs ours not now rule teacher physics book obviously ask ones "
    "something somehow someone simple simply good right wrong maybe perhaps probably whole long "
    "change changes changed shape shapes print prints whose spare shade though thorough collection "
    "converted education please correct amount "
    "way world work works wired force forced places place hence thus type types"
)

# Words that are often misspelt, in full: a mistyped word is taken for the nearest of them.
SPELT_WORDS = (
    "isolated connected connection attached joined parallel series voltage voltages potential "
    "difference charge charges capacitor capacitors capacitance battery supply middle between "
    "nothing everything anything another other conductor insulated terminal terminals junction "
    "neutral plates plate piece metal island floating because point points different same share "
    "shared energy current electrons electron through across together common equal identical "
    "bottom right inside centre whole total farad farads coulomb coulombs equation formula "
    "permittivity polarity equivalent question understand explain meaning prefix units reciprocal "
    "reciprocals remove removed leave around circuit network"
)
