"""What learners doubt or half believe, answered with the physics and without what is asked.

A topic is known by groups of stems, all of which a question must touch; of several the one with
most groups is meant. What is said is true of any network, with the names of this one put in.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple

from tutor.teaching.enquiry.matter import Matter
from tutor.teaching.speech import listed


class QuestionTopic(NamedTuple):
    """What a question may be about: groups of stems, and what is said to it, with {pd} and {pds}
    for the learner's word, {name} for a capacitor and {at} for an inner point of this network.
    """

    needs: tuple[str, ...]
    reply: str | Callable[[Matter], str]

    def told(self, matter: Matter) -> str:
        """What is said to it here."""
        if not isinstance(self.reply, str):
            return self.reply(matter)
        terms = matter.speech.terms
        text = self.reply.format(
            pd=terms.difference, pds=terms.differences,
            name=matter.names[0] if matter.names else "a capacitor",
            at=matter.inner[0] if matter.inner else "such a point",
        )
        return text[:1].upper() + text[1:]


def _used_up(m: Matter) -> str:
    where = f" Follow it at {m.inner[0]}: where could it go?" if m.inner else ""
    return (
        "Charge is not used up: as much as comes onto one plate of a capacitor goes from its other "
        f"plate.{where}"
    )


def _smaller_or_larger(m: Matter) -> str:
    pd = m.speech.terms.difference
    if m.about in ("choice", "shares", "reason") or not m.about:
        return "That follows from what is shared, so say first what that is, and by which points."
    return (
        f"In series one charge needs the {pd} of each, so there is less charge for each volt in "
        f"all; in parallel one {pd} moves charge onto each, so there is more."
    )


def _as_before(m: Matter) -> str:
    return f"What a change does not touch is as it was before. {m.supply}".rstrip()


_ENERGY_STAYS: Final = (
    "Energy does not vanish: what the capacitors no longer store has left them, as heat in the "
    "wires, as radiation, or as work on what is moved. Which of these is possible here?"
)
JUST_ADD: Final = (
    "What adds depends on what is shared: at one {pd} the charges add, at one charge the {pds} "
    "add, and each is Q/C. Which of the two is it here?"
)
LARGER_GETS: Final = (
    "By Q = C V the larger of two needs the smaller {pd} if both have one charge, and holds the "
    "larger charge if both have one {pd}. Which of the two is it here?"
)
_SAME_OR_DIVIDED: Final = (
    "The charge is the same on two where what leaves one plate can only come onto the other; where "
    "charge has several branches to go to, it is divided. Which of these was it here?"
)
NEUTRAL: Final = (
    "{name} as a whole gains no charge: +Q is on one plate and −Q on the other. By its charge the "
    "size on one plate is meant."
)


STAYS: Final = (
    "A charge stays on plates from which no wire leads away; a {pd} stays while a supply holds it. "
    "Which of these is so here?"
)
ONE_OF_THE_TWO: Final = (
    "They have one charge for certain only where they meet and nothing else is joined, and one "
    "{pd} only where all join the same two points. Which of these is it here?"
)


def _same_or_divided(m: Matter) -> str:
    return _why_that_quantity(m) if _is_one_in_stages(m) else _SAME_OR_DIVIDED


def _why_that_quantity(m: Matter) -> str:
    """Why it is the charge, or not the p.d., that is the same, before that is said or after it."""
    told = STAYS if _is_one_in_stages(m) else ONE_OF_THE_TWO
    return told.replace("{pd}", m.speech.terms.difference)


def _is_one_in_stages(m: Matter) -> bool:
    return m.about is None and len(m.names) == 1


GOES_BY_BOTH: Final = (
    "By Q = C V a {pd} goes with Q and against C. Which of the two differs here, and which is the "
    "same?"
)
LEFT_OUT: Final = (
    "A capacitor may be left out where it holds no charge: where both its plates are at one "
    "potential, or where one of them is joined to nothing else."
)
AT_ITS_RATING: Final = (
    "Compare what each needs to come to its rating: its C times its rating where all hold one "
    "charge, the rating alone where all have one {pd}."
)


def _joined_how(m: Matter) -> str:
    if not m.capacitors or len(m.capacitors) > 6:
        return "Compare the two points of each: both the same, or only one?"
    places = ", ".join(f"{c.name} is from {c.start} to {c.end}" for c in m.capacitors)
    return f"Go by the points: {places}. Are both the same two, or do they meet at one?"


CROSSING: Final = (
    "Nothing crosses the gap of {name}: charge comes onto one plate while as much goes from the "
    "other, and then all is at rest. So go by the charge, not by a current."
)


def _checks(m: Matter) -> str:
    inner = f" and that the plates at {m.inner[0]} add up to zero" if m.inner else ""
    return (
        f"Yes: check that the {m.speech.terms.differences} along one way from end to end add to "
        f"that of the whole{inner}."
    )


EQUAL_LEVELS: Final = (
    "Two points are at one potential if the {pd} from the + end to each is the same; so compare "
    "how each of the two ways divides what it has."
)
RESISTANCE: Final = (
    "A resistance only settles how fast the charges come to rest, not where; only the state of "
    "rest is worked out here."
)
ANY_ORDER: Final = (
    "The order changes no result: any step that is allowed leads to the same end. So take the one "
    "for which you can give the reason."
)


def _why_not(m: Matter) -> str:
    if m.about == "choice":
        return (
            f"Two can become one only where it is certain that they share one "
            f"{m.speech.terms.difference} (both ends at the same two points) or one charge "
            "(nothing else joined where they meet)."
        )
    return "Because it does not fit what is so here; 'hint' leads to where that shows."


def _reach_together(m: Matter) -> str:
    return (
        f"Ratings need not be reached together: as the {m.speech.terms.difference} rises, one of "
        f"{listed(m.names)} comes to its own first." if len(m.names) > 1 else
        "The rating is reached when its own difference of potential is as large."
    )


_CHARGES = "charg current electron flow it"

DOUBTS: Final[tuple[QuestionTopic, ...]] = (
    QuestionTopic((_CHARGES + " pd voltag volt", "usedup use_up weaker weak lose lost less run_out "
                   "consum eaten eat spent wast get_less"), _used_up),
    QuestionTopic(("current", "same flow through pass equal cross each both go"), CROSSING),
    QuestionTopic((_CHARGES, "through across jump cross", "gap plate capacitor go pass flow cap"),
                  CROSSING),
    QuestionTopic(("jump cross flow pass", "gap insul capacitor dielectr"), CROSSING),
    QuestionTopic(("why how make sens", "smaller less small low lower littl"), _smaller_or_larger),
    QuestionTopic(("why how", "bigger larger big more greater"), _smaller_or_larger),
    QuestionTopic(("why can not what", "just simpli not normal straight onli",
                   "add sum plus total"), JUST_ADD),
    QuestionTopic(("do can should could shall", "add sum multipli divid averag"), JUST_ADD),
    QuestionTopic(("multipli", "divid"), JUST_ADD),
    QuestionTopic(("reciproc invers formula", "again use do"), JUST_ADD),
    QuestionTopic(("product", "sum over"),
        "The product over the sum is right for two in series and for no other number; for more, "
        "add the reciprocals one by one."),
    QuestionTopic(("product", "sum over", "allow ok okay may can permit same or"),
        "For two in series the product over the sum is allowed: it is 1/C = 1/C1 + 1/C2 turned "
        "over. For more of them, add the reciprocals one by one."),
    QuestionTopic(("half ½ 1/2", "qv cv v2 squar cv2 q2", "or which either both same"),
        "Either: half of Q V and half of C V squared are the same, since Q = C V. Take the one "
        "whose values you have."),
    QuestionTopic(("suppli batteri cell sourc", "enough run_out limit much"),
        "A supply is taken to move as much charge as its {pd} asks for; it does not run out."),
    QuestionTopic(("bigger larger big smaller small biggest smallest greater", "charg q more volt "
                   "pd voltag"), LARGER_GETS),
    QuestionTopic(("bigger larger big smaller small biggest smallest", "charg q volt pd voltag",
                   "get have take hold need more"), LARGER_GETS),
    QuestionTopic(("why how", "charg q it", "same equal divid split share"), _same_or_divided),
    QuestionTopic(("not", "charg pd voltag volt", "same equal stay"), _why_that_quantity),
    QuestionTopic(("why", "not", "charg pd voltag volt"), _why_that_quantity),
    QuestionTopic(("why_the why_charg why_volt why_voltag why_pd", "charg pd voltag volt"),
                  _why_that_quantity),
    QuestionTopic(("why how", "pd voltag volt v", "drop fall fell go_down goe_down went_down lower "
                   "less smaller sink decreas shrink rise go_up goe_up higher grow increas"),
                  GOES_BY_BOTH),
    QuestionTopic(("why how can", "leav left take taken drop remov", "out away off"), LEFT_OUT),
    QuestionTopic(("why how which", "reach rate", "first befor"), AT_ITS_RATING),
    QuestionTopic(("charg", "overal total altogeth neutral net whole zero in_all"), NEUTRAL),
    QuestionTopic(("plate", "each both togeth which two"), NEUTRAL),
    QuestionTopic(("seri", "parallel", "is are or now"), _joined_how),
    QuestionTopic(("differ", "seri", "parallel"), _joined_how),
    QuestionTopic(("can could how is", "check test prove", "it somehow answer against"), _checks),
    QuestionTopic(("know", "potenti level"), EQUAL_LEVELS),
    QuestionTopic(("why how", "potenti level", "same one equal"), EQUAL_LEVELS),
    QuestionTopic(("why how", "no not", "charg", "come get on to"),
        "Only plates touch the metal at {at}, and nothing crosses a gap, so no charge can come "
        "there or leave; it can only move between the plates there."),
    QuestionTopic(("where what", "volt pd voltag", "go gone went lost happen becom"),
        "A {pd} is no stuff that is kept: it is Q/C, and alters when Q or C does. Ask what became "
        "of the charge, and on how much capacitance it is."),
    QuestionTopic(("where what why how", "energi joul mj uj nj rest",
                   "go gone went lost lose happen becom vanish disappear miss"), _ENERGY_STAYS),
    QuestionTopic(("energi joul", "lost lose heat warm spark radiat wast drop"), _ENERGY_STAYS),
    QuestionTopic(("energi joul", "conserv kept preserv destroy creat"), _ENERGY_STAYS),
    QuestionTopic(("why how what", "suppli batteri sourc", "matter there care differ concern"),
        "Where the supply is joined, charge can come and go, so the plates there need not add up "
        "to zero as they do on metal that is cut off."),
    QuestionTopic(("empti uncharg zero nothing no_charg", "how why", "connect still join be"),
        "Being connected puts no charge on a capacitor: by Q = C V it holds some only where a {pd} "
        "is across it."),
    QuestionTopic(("half ½ 1/2",),
        "The {pd} grows from zero as charge comes on, so on average it is half of the last one."),
    QuestionTopic(("order first start begin matter", "matter alway first order have which"),
                  ANY_ORDER),
    QuestionTopic(("doe_it do_i it", "matter"), ANY_ORDER),
    QuestionTopic(("resistor resist", "like same rule way as with for"),
        "Rules for resistors do not carry over as they stand; what is shared decides, the "
        "difference between two points or the charge on the plates."),
    QuestionTopic(("resist wire", "zero no perfect ideal"),
        "Then the charges come to the same rest; what is lost to heat in wires that resist goes "
        "as sparks and radiation if they do not."),
    QuestionTopic(("resist", "some any real have has had add there"), RESISTANCE),
    QuestionTopic(("resist",), RESISTANCE),
    QuestionTopic(("how when", "long quick fast time soon", "charg discharg second"),
        "How long charging takes is beyond this program: it works out the state of rest alone."),
    QuestionTopic(("altern ac a_c frequenc hertz", "suppli current capacitor volt what is"),
        "Alternating supplies are beyond this program: all here is at rest."),
    QuestionTopic(("subtract minus negat cancel oppos", "why what where"),
        "Signs count where plates are joined: + and − on one piece of metal take from each other, "
        "+ and + add."),
    QuestionTopic(("mean what", "equat both_side side"),
        "In an equation one letter stands for one value, wherever it is written."),
    QuestionTopic(("endless infinit forev without_end", "capacit how can"),
        "Each further section adds less than the one before, so the whole settles to one value."),
    QuestionTopic(("cm2 mm2 m2 squar cm mm",),
        "1 m is 100 cm or 1000 mm, so 1 m² is 100 × 100 cm² or 1000 × 1000 mm²."),
    QuestionTopic(("metal sheet wire", "no between layer"),
        "A thin sheet of metal laid where two layers meet would change nothing, so each layer may "
        "be taken as a capacitor of its own."),
    QuestionTopic(("wrong mistak", "i get make answer happen"),
        "A wrong answer does no harm: it gets a reason or a question back, and after a few tries "
        "the step is shown."),
    QuestionTopic(("spring",),
        "It is very like a spring: what is stored can do work when it is let go."),
    QuestionTopic(("same", "time", "rate reach"), _reach_together),
    QuestionTopic(("which what", "not", "know", "valu capacitor it"),
        "What two of them share does not depend on their values, only on how they are joined."),
    QuestionTopic(("symmetri symmetr",),
        "Symmetry may be used: if turning the network over leaves it as it was, points that change "
        "places have potentials that mirror each other."),
    QuestionTopic(("why how", "can_not cannot not_allow not_possibl wrong not_all"), _why_not),
    QuestionTopic(("more_than one two", "right true correct", "can"),
        "One entry is the reason; the others are not true here or say nothing of it."),
    QuestionTopic(("suppli batteri cell", "same still chang befor"), _as_before),
)
