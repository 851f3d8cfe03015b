"""The signs by which a kind of act is told: openings of questions, words of doubt and of choice.

They are closed classes of English (question words, auxiliary verbs, pronouns, hedges), in small
letters with contractions in full; what a line is about is no matter of theirs.
"""

from __future__ import annotations

import re
from types import MappingProxyType

# What is open at any moment beside the problem

WHAT_IF = re.compile(
    r"(?is)\s*(?:(?:and|so|but|now|ok(?:ay)?|well|hm+|then)[\s,]+)*"
    r"(?:wh?at|waht|wath)\s*(?:would\s+(?:happen|change)\s+|happens\s+|changes\s+|about\s+)?if\b"
    r"[\s:,]*(.*?)[\s?.!]*$"
)
# The same in freer words: what happens to V1 if I double C2; suppose the battery were 16 V.
SUPPOSING = (
    re.compile(
        r"(?is)\s*(?:.*\b(?:what|how|which|where|would|will|does|do|could|happens?|changes?)\b.*?)?"
        r"\b(?:if|when|once)\b\s+(?P<change>.*?)[\s?.!]*$"
    ),
    re.compile(
        r"(?is)\s*(?:(?:and|so|but|now|ok(?:ay)?)[\s,]+)*(?:suppose|supposing|imagine|assume|assuming"
        r"|let['’]?s\s+say)\s+(?:that\s+)?(?P<change>.*?)[\s?.!]*$"
    ),
)
CHANGING = re.compile(
    r"(?i)\b(?:doubl\w*|halv\w*|tripl\w*|remov\w*|swap\w*|replac\w*|increas\w*|decreas\w*"
    r"|exchang\w*|tak(?:e|es|en|ing)\s+(?:\w+\s+)?(?:out|away|off)|took\s+(?:\w+\s+)?(?:out|away)"
    r"|short(?:ed|s)?|twice|half|(?:bigger|smaller|larger)$)\b"
    r"|\b(?:was|were|is|had|to|becomes?|of)\s+(?:only\s+)?\d"
)
ASKING = frozenset({
    "fair copy", "a fair copy", "the fair copy", "make a fair copy", "write a fair copy",
    "write it out", "write that out", "write everything out", "write it all out", "my working",
    "show my working", "working", "the working", "show working", "show the working",
    "write out my working", "full working", "my route", "whole working",
})
# A wish to keep it that names no file.
SAVING = frozenset({
    f"{verb}{what}" for verb in ("save", "export", "store")
    for what in ("", " it", " that", " the fair copy", " a fair copy", " my fair copy",
                 " fair copy", " my working", " the working", " everything", " to a file")
})
HOW_TO_SAVE = "To keep it, name a file, like: save it as copy.txt."
SAVED_AS = re.compile(
    r"(?is)\s*(?:please\s+)?(?:save|write|store|export)\s+(?:(?:the|my|a|this)\s+)?"
    r"(?:(?:fair\s+copy|working|it|that|everything)\s+)?(?:out\s+)?(?:to|as|in|into)\s+"
    r"(?:(?:the|a)\s+file\s+|file\s+)?(?P<file>.+?)\s*"
)
FILE_ALONE = re.compile(
    r"(?is)\s*(?:save|export)\s+(?:(?:the\s+|my\s+)?(?:fair\s+copy|it)\s+)?"
    r"(?P<file>\S+\.[a-z]\w{0,4})\s*"
)
# What settings are there, how do I change the settings: nothing else is in the line.
ASKS_FOR_SETTINGS = re.compile(
    r"(?:(?:what|which|show|list|change|see|how|do|can|could|i|we|you|me|my|the|all|are|there"
    r"|have|open|of|other|to) )*(?:settings?|options|preferences)(?: (?:are|there|is|do|i|we|have"
    r"|can|set|change|page|menu|here))*|what can (?:i|be) set"
)

# Call it voltage instead of p.d.
RENAMED = re.compile(
    r"(?i)\b(?:call|say|use|write)\b(?: (?:it|them|that|the word|a))? (?:'|\")?"
    r"(voltage|p\.d\.|potential difference)s?(?:'|\")? (?:instead|for it|please)"
)
LEAVES = re.compile(
    r"(?i)\b(?:go back|take me back|drop (?:this|that|it|the)"
    r"|skip (?:this|it)|never ?mind|forget (?:it|this)|cancel|leave (?:this|that|the)|enough of"
    r"|back to (?:the|my|our) (?:\w+ ){0,2}(?:problem|question|one|task|network|circuit|walk))\b"
)

# What kind of act it is

SHARINGS = (
    ("p.d.", "pd", "voltage", "voltages", "volts", "v", "potential difference", "u",
     "tension"),
    ("charge", "charges", "q", "coulombs"),
)
WITH_ARTICLE = frozenset({"charge", "p.d.", "pd", "voltage", "energy", "same", "potential"})

HASTY = MappingProxyType({
    "wat": "what", "wats": "what is", "wot": "what", "wots": "what is", "wht": "what",
    "whts": "what is", "waht": "what", "wath": "what", "whats": "what is", "hows": "how is",
    "wheres": "where is", "whos": "who is", "whys": "why is", "whens": "when is", "ys": "why is",
    "wich": "which", "whch": "which", "wer": "where", "wher": "where", "hw": "how", "wy": "why",
    "isnt": "is not", "arent": "are not", "doesnt": "does not", "dont": "do not",
    "didnt": "did not", "cant": "can not", "cannot": "can not", "shouldnt": "should not",
    "wouldnt": "would not", "couldnt": "could not", "wont": "will not", "hasnt": "has not",
    "havent": "have not", "wasnt": "was not", "its": "it is", "thats": "that is", "im": "i am",
    "ive": "i have", "id": "i would", "aint": "is not",
})
VERB = (
    r"(?:is|are|was|were|does|do|did|can|could|will|would|shall|should|must|may|might|has|have|had"
    r"|am)(?: not)?"
)
PRONOUN = r"(?:it|they|i|we|you|there|this|that|these|those|one|he|she|u|anyone|something)\b"
SUBJECT = (
    rf"(?:{PRONOUN}|the (?!same\b|only\b)\w+ \w|an? (?=\w{{3}})|[cqv]\d+ \w"
    r"|(?:charges?|current|voltage|pd|energy|capacitance|order|everything|anything|supply|battery"
    r"|(?:capacitor|plate|point|wire|potential|value|unit)s?|(?:every|any|my|your) \w+) \w)"
)
FILLER = (
    r"(?:(?:hang on|hold on|wait a \w+|just a \w+|one sec(?:ond)?"
    r"|so|and|but|ok|okay|well|hm+|u+h+m*|um+|er+m?|ah|oh|wait|sorry|please|pls|sir|miss|hey"
    r"|hi|hello|also|then|now|right|yeah|yes|no|nah|actually|just|like|honestly|lol|oops)\b[ ,]*)*"
)
OPENS_QUESTION = re.compile(
    rf"{FILLER}(?:"
    rf"(?:what|which|who|where|when|how) (?:on earth |the hell )?{VERB}\b"
    rf"|(?:what|which|how|where|who|whose) (?:\w+ ){{1,4}}{VERB} (?:{PRONOUN}|the )"
    r"|(?:what|how) (?:about|for|come|many|much|long|far|else|exactly|so)\b"
    r"|(?:what|which|where|how|huh|eh)(?: \w+)?$"
    r"|is [a-z]+\d* (?:\d|about \d|equal|always|really|(?:an? |the )?[a-z]{3,} or )"
    r"|is [a-z]_?\d* (?:the|an?|here|in|still|this|that|for|what|coulombs?|farads?|volts?"
    r"|capacitance|charge|voltage)\b"
    r"|(?:is|are) [a-z]_?\d*(?: and [a-z]_?\d*)? (?:also |still |really |even )?"
    r"(?:joined|connected|linked|wired|attached|tied|fixed|hooked) "
    r"|(?:is|are) (?:the |an? )?(?:\w+ ){1,4}?(?:allowed|ok|okay|permitted|possible|enough|needed"
    r"|necessary)\b|(?:has|have) (?:the|an?|my|your) \w+ (?:got|enough|been|gone|changed)\b"
    r"|.*\b(?:of|to|with|for|from|than|by|means?|mean) (?:what|where|whom)(?: exactly| here)?$"
    r"|.*\bwhat exactly$"
    r"|(?:is|are) (?!not|both|all|also|just|still|always|the|they|it)(?:[a-z]+ ){1,3}"
    r"(?:the same as|like|equal to|different from)\b"
    r"|.*\b(?:of|to|with|for|from|than|by|on|at|in|across|between) which(?: of)?(?: \w+)?$"
    r"|(?:do|does|can|could|will|would|should) (?:(?:both|all|any|each)(?: \d)?"
    r"|\d[\d.]* ?[pnuµμmk]?[vcjf]) (?!of\b|be (?:right|correct|ok|okay|it|the)\b)\w+ \w"
    r"|which (?:one|of (?:them|these|those|the two)|capacitor) \w+s\b"
    r"|who (?!knows|cares|is|has|was)\w+ \w|which \w+ (?:has|gives|goes|uses|holds|needs|tells)\b"
    r"|does (?!not\b)\w+ \w|do (?!this\b|series\b)\w+s \w"
    r"|(?:what|who|which) (?:happens|happened|decides|makes|tells|causes|means)\b"
    r"|how to\b|what (?:do|does|did)\b|why\b(?! because)|y (?:is|are|do|does|not|the|it)\b"
    rf"|(?:{VERB}) {PRONOUN}"
    r"|(?!do (?:the (?:other|rest|next|last|first|\w+ (?:ones?|two|pair|bits?|first|side|branch))"
    r"|c\d+ (?:and|with))\b)"
    rf"(?:is|are|was|were|does|do|can|will|would|should)(?: not)? {SUBJECT}"
    r"|(?:explain|define|clarify|describe|remind me|meaning of|in other words)\b"
    r"|(?:is|are|was|would|could|can|does|do|will|should|must) \d[\d.,]*(?: ?[pnuµμmk]?[vcjf])?"
    r" (?!and\b|or\b|then\b)[a-z]{3}"
    r"|tell me (?:what|how|why|about|again|more)\b"
    r"|(?:can you |could you |please )?(?:talk|walk|take|guide|lead) (?:me|us) (?:through|over)\b"
    r"|(?:show|let (?:me|us) see|i (?:want|would like) to see) (?:me |us )?"
    r"(?:the|how|what|where|both|all|an?|that|this|it)\b"
    r"|say (?:that|it|this) (?:again |differently|in|more)"
    r"|(?:(?:can|could) you )?(?:rephrase|reword)\b|(?:you )?lost (?:you|me)\b"
    r"|(?:any|another|other) (?:other )?ways?\b|what$"
    rf"|(?:if|when) (?:[^ ,]+ ){{2,8}}(?:is|are|does|do|has|have|can|will|would) {PRONOUN}"
    r"|.*\bwhat (?:is|was|are|were) (?:it|that|this|they|those)(?: again| now| actually)?$"
    r"|you mean .* or |(?:by )?[cqvuew]_?\d* mean(?:s|ing)\b)"
)
# Two moments or conditions side by side, of which nothing is stated: doubled before or after it is
# removed. The same before or after states that it makes no difference.
BETWEEN_TWO = re.compile(
    r"(?!.*\b(?:same|equal|stays?|keeps?|kept|matters?|whether|always|never|any|both|regardless"
    r"|difference|unchanged|constant|fixed|conserved)\b)"
    r"(?:.*\b(?:before|after)\b[^.;]*? or (?:just |only |is it )*(?:before|after|during)\b"
    r"|(?:.* )?with(?:out)?\b[^,.;\d]*? or (?:with(?:out)?|not(?: yet)?)\b"
    r"|.* or not yet$)"
)
# Not understanding that says of what.
NOT_GRASPED = re.compile(
    r"\b(?:(?:do|did|can|could) not|never|hardly) (?:really |quite |even )?"
    r"(?:(?<!can not )(?<!could not )get|got|understand|understood|follow|see) "
    r"(?!it$|this$|that$|it at all|how to$|any)\w"
    r"|\b(?:not know|no idea|not sure|no clue|forgot|wonder\w*)\b.*\b(?:what|why|how) "
    r"(?:(?:\w+ ){1,4}(?:is|are|was|were|means?|does|do|works?|the)\b|(?:is|are|does|do)\b)"
    r"|\b(?:confused (?:by|about|with)|never heard of|trouble with|struggl\w+ with)\b"
    r"|\b(?:say|speak|talk|put|write) (?:\w+ ){0,3}(?:simpler|simply|plainer|plainly|slower)\b"
    r"|\b(?:in other words|other words|(?:more )?simply put|lost (?:you|me))\b"
)
# A second question in the same breath.
GOES_ON_ASKING = re.compile(
    r"(?:, |; |: |- | but | and )(?:so |then )?"
    rf"(?:(?:why|how) (?:the\b|{PRONOUN})|(?:why|how|what) (?:{VERB}|not|so))\b"
    rf"|(?:, |; |: |- )which (?:(?:ones?|of (?:them|these|those|the two)) )?{VERB} {PRONOUN}"
    r"|(?:, |; |: |- )(?:which|what|how) (?:\w+ ){1,4}?(?:do|does|did|should|would|can) "
    r"(?:it|they|i|we|you|these|those)\b"
    r"|(?<!so )(?<!nor )(?<!neither )(?<!as )(?<!and )\b(?:do|should|shall|am) (?:i|we) "
    r"(?!know\b|not\b)\w"
    rf"|\b(?:so|then) (?:why|how|what|where|who) {VERB}\b|\bwhy \w+,"
    rf"|(?:, |; |: |- | but | and )(?:does|do|is|are|can|could|will|would|should) {PRONOUN} "
    r"(?!not\b|right\b|correct\b|ok\b|okay\b|true\b|wrong\b|so\b|be\b)\w"
)
# What is on one plate has to be on the other: no question, though it begins as one.
STATES = re.compile(
    r"^(?!what (?:do|does) (?:\w+ ){1,5}?mean\b)(?!what (?:is|was|are|were) [^,]*\bagain\b)"
    r"(?:what|where|which|who) (?:is|has|was|are|does|do|comes|goes|leaves|makes"
    r"|happens(?! (?:to|with|if|when)\b))\b"
    r"(?:(?! that | which |, (?:is|are|does|do) (?:not )?(?:it|that|this|they)\b).)*? "
    r"(?:is|are|has to|have to|must|lands?|goes|comes|arrives|stays|leaves|appears|can not)\b"
)
LEAD = re.compile(
    r"^(?:(?:so|then|and|but|ok|okay|u+h+m*|um+|er+m?|hm+|well|maybe|perhaps|probably|possibly"
    r"|surely|i think|i guess|i would say|i say|i want to say|my guess is|guess|that is|it is"
    r"|they share|they both have|the answer is|wait|oh|just|like|you mean|do you mean)\b[ ,:]*)+"
)
TURNED = re.compile(
    r"^(?:(?:is|are|could|would|might|must|can|does|do|is not|are not|would not|could not)"
    r" (?:(?=\d)|(?=(?:the (?:total |whole )?(?:charge|p\.?d\b|voltage|capacitance|energy|value)"
    r"|[qvuce]_?\d*'* )[^?=]*\d)|(?:it|that|this|they|the answer))"
    r"(?: (?:be|have|share|hold|both|all|just|not))*"
    r"|am i right (?:with|in saying))\b ?"
)
TAIL = re.compile(
    r"(?:[ ,]*\b(?:then|or not|right|is it not|is it|no|yes|yeah|yea|be (?:right|it|correct|ok)"
    r"|maybe|perhaps|i think|i guess"
    r"|or what|correct|or is (?:that|it|this) (?:wrong|not right)"
    r"|is (?:that|it|this) (?:right|correct|ok|wrong|true)|am i right|innit|or something|please"
    r"|pls|do they not|are they not|does it not|do we not|is that not|is not it))+$"
)
OPEN_DOUBT = re.compile(r"\b(?:want to say|tempted|feels? like|my gut says)\b")
UNITS = re.compile(
    r"(?:milli|micro|nano|pico|kilo|[pnuµμmk])?-?(?:[fvcj]|farads?|volts?|coulombs?|joules?)"
    r"|(?!wh)[cqvuew]_?\w{0,8}|and|x|e|times|over|the|point|plus|minus|zero|nought"
)
JOINED = frozenset({
    "and", "or", "both", "either", "neither", "nor", "all", "any", "whichever", "each", "one",
    "of", "them", "they", "it", "that", "the", "a", "same", "is", "are", "be", "have", "has",
    "share", "stay", "stays", "too", "can", "will", "would", "just", "then", "so", "well", "um",
    "uh", "hm", "hmm", "maybe", "perhaps", "probably", "i", "guess", "think",
})
BREAKS_IN = re.compile(r"^\W*(?:(?:hold on|hang on|wait(?: a \w+)?|one moment|hey)\b[\s,.!-]*)+")
# Two at once are taken: both, this and that, the same charge and the same voltage; or is a doubt.
TAKES_BOTH = re.compile(r"(?i)^(?!.*\bor\b).*?(?:\b(?:both|and)\b|\bsame\b.*\bsame\b)")
COUNTED = re.compile(
    r"\b(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen"
    r"|fifteen|sixteen|twenty|half|most|some|others?|rest)\b.*\b(?:hands?|votes?|say|says|said|think"
    r"|thinks|of us|people|pupils|students|against|class|table|took|take)\b"
    r"|\b\d+ (?:are |were )?for\b.*\b\d+ (?:are |were )?for\b"
    r"|\b(?:\w+ says?|\w+ thinks?) .*\b(?:i|we|\w+) (?:says?|thinks?)\b|\bvotes?\b|\bhands\b"
)
NO_KNOWING = re.compile(
    r"\b(?:no (?:idea|clue)|not (?:sure|certain)|unsure|dunno|idk|(?:do|did) not (?:really )?know"
    r"|does not know(?: it| this| that)?\W*$"
    r"|have not (?:\w+ )?(?:worked|figured|calculated|done|tried|looked|checked|started|studied"
    r"|learn(?:ed|t)|covered|revised|practised|seen|understood)\b(?: \w+)*"
    r"|no (?:\w+ )?(?:feel(?:ing)?|sense|picture|memory|grasp) (?:for|of|about)"
    r" (?:it|this|that|these|those)"
    r"|^(?:(?:i|will|have to|must|ok|sorry|then)\b[ ,]*)*pass(?= ?[,.;:!]| on (?:this|that|it)\b)"
    r"|have not (?:got )?a clue|not a clue|clueless|beats me|50.?50|fifty fifty"
    r"|(?:could|can|do) not (?:say|tell|decide|choose|make up my mind)"
    r"|(?:you|u) (?:choose|decide|pick)|not think i can"
    r"|(?:i am|im|i|totally|completely|so|bit|am|get) (?:\w+ )?(?:lost|stuck|confused)"
    r"|(?:am|is) over my head|i (?:have )?forgot(?:ten)?|need help"
    r"|never (?:seen|done|learn\w*|had) (?:this|it|that|any)|confuses? me"
    r"|toss[ -]?up|(?:in )?two minds|makes? no sense"
    r"|none of (?:those|these|them|that|it) makes? sense"
    r"|(?:do|does) not make (?:any )?sense|nothing comes(?: to mind| up)?$"
    r"|(?:my )?(?:brain|head) (?:hurts|spins|is spinning|explodes|is fried)"
    r"|(?:i|keep|always|am) (?:\w+ )?mix(?:ing|ed)? "
    r"(?:\w+ )?(?:them|it|these|those|that|this|two)?(?: \w+)? ?up)(?:\b|$)"
    r"|^(?:i )?(?:really )?can not (?:remember|do|think|solve|work|tell|picture|imagine"
    r"|visuali[sz]e|figure|recall|grasp|make (?:any )?sense|get my head)\b"
    r"|^(?:(?:i|no|nope|sorry) )*(?:still |really |just )*(?:do|can|could) not$"
    r"|^(?:(?:i|no|nope|sorry|still|just|really)\b[ ,]*)*(?:do|did|can) not"
    r" (?:get|understand|see|know)(?: it| this| that| at all)*$"
    r"|^(?:stuck|lost|confused|blank|nothing comes)\b|\b(?:mind|head) (?:is|went|goes) blank\b"
    r"|^(?:(?:i|no|nope|so|and|still|sorry)\b[ ,]*)*(?:i (?:have )?(?:got|have) nothing\b"
    r"|nothing\W+sorry|sorry\W+(?:still )?(?:no|nope|nothing))$"
    r"|(?<!\bbe )(?<!\bis )(?<!\bget )(?<!\bgets )\b(?:lost|stuck)$"
    r"|^(?:well |it |that |this |all )*depends(?: (?:on|how|what|if|who|which) .*)?$"
)
SURELY_LOST = re.compile(
    r"\bmakes? no sense|\btoss[ -]?up\b|\b(?:in )?two minds\b|^(?:stuck|lost)\b"
    r"|\bi am (?:lost|stuck)\b|not think i can"
)
