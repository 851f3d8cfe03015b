"""Wrong ideas: what showed beside what could have, and when one counts as held or put right."""

from __future__ import annotations

import pytest

from tests.learner.answers import answer
from tutor.learner.knowledge import Idea, IdeaState
from tutor.learner.standing import Seen, standing_of
from tutor.teaching.observation import Observation

NAME = "adds-a-series-pair"
OTHER = "takes-the-average"


def _answer(letter: str, network: str) -> Observation:
    """m matched for sure, d in doubt, c clean, o wrong for another reason, n no chance at all."""
    if letter in "md":
        return answer("S11", "w", network=network, malrules=(NAME,), sure=letter == "m",
                      chances=(NAME, OTHER))
    chances = () if letter == "n" else (NAME,)
    return answer("S11", "r" if letter in "cn" else "w", network=network, chances=chances)


def _idea(letters: str, networks: str = "") -> Idea:
    record = [
        Seen(_answer(letter, (networks or "abcdefgh")[at]), str(at), 0)
        for at, letter in enumerate(letters)
    ]
    return standing_of(record).ideas.get(NAME, Idea())


@pytest.mark.parametrize(
    ("letters", "networks", "state"),
    [
        ("", "", None), ("oc", "", None), ("m", "", "possible"), ("d", "", "possible"),
        ("mm", "ab", "held"), ("mm", "aa", "possible"), ("dd", "ab", "possible"),
        ("mmo", "abc", "held"), ("mmc", "abc", "possible"), ("mmcm", "abca", "held"),
        ("mcc", "abc", "resolved"), ("mmcoc", "abcde", "resolved"), ("mmcn", "abcd", "possible"),
        ("mmccm", "abcde", "possible"), ("mmccmm", "abcdef", "held"),
        ("mmccd", "abcde", "possible"), ("mcm", "abc", "possible"), ("mcmm", "abcd", "held"),
        ("moom", "abcd", "possible"), ("moomm", "abcde", "held"), ("mom", "abc", "held"),
        ("mmoo", "abcd", "possible"), ("mddm", "abcd", "held"),
    ],
)
def test_states(letters: str, networks: str, state: IdeaState | None) -> None:
    assert _idea(letters, networks).state == state


def test_matches_stand_beside_chances() -> None:
    idea = _idea("mcnmod")
    assert (idea.matches, idea.chances, idea.doubtful) == (2, 5, 1)
    assert idea.lately == ("matched", "other", "in doubt")


def test_help_makes_no_clean_answer() -> None:
    helped = answer("S11", "h", chances=(NAME,))
    assert standing_of([Seen(helped, "1", 0)]).ideas[NAME].cleanly == 0


def test_a_question_is_one_chance_however_often_it_is_tried() -> None:
    tries = [Seen(_answer(letter, "a"), "1", 0) for letter in "omm"]
    idea = standing_of(tries).ideas[NAME]
    assert (idea.matches, idea.chances, idea.lately) == (1, 1, ("matched",))


def test_an_idea_that_shows_without_having_been_foreseen_is_a_chance_as_well() -> None:
    slip = answer("S02", "w", malrules=("prefix-slip-of-a-thousand",), sure=True)
    idea = standing_of([Seen(slip, "1", 0)]).ideas["prefix-slip-of-a-thousand"]
    assert (idea.matches, idea.chances) == (1, 1)


def test_so_it_is_at_a_later_try() -> None:
    slip = answer("S02", "w", malrules=("prefix-slip-of-a-thousand",), sure=True)
    record = [Seen(answer("S02", "w"), "1", 0), Seen(slip, "1", 0)]
    idea = standing_of(record).ideas["prefix-slip-of-a-thousand"]
    assert (idea.matches, idea.chances) == (1, 1)


def test_there_are_never_more_matches_than_chances() -> None:
    slip = answer("S02", "w", malrules=("prefix-slip-of-a-thousand",), sure=True)
    record = [Seen(slip._replace(key=key), "1", 0) for key in ("V1", "V1", "V2", "V1")]
    idea = standing_of(record).ideas["prefix-slip-of-a-thousand"]
    assert (idea.matches, idea.chances) == (2, 2)


def test_saying_which_of_two_it_was_clears_the_other_and_counts_the_one() -> None:
    doubt = answer("S11", "w", malrules=(NAME, OTHER), sure=False, chances=(NAME, OTHER))
    said = answer("S11", "w", malrules=(OTHER,), sure=True, chances=(NAME, OTHER))
    ideas = standing_of([Seen(doubt, "1", 0), Seen(said, "1", 0)]).ideas
    assert (ideas[NAME].doubtful, ideas[NAME].matches, ideas[NAME].state) == (0, 0, None)
    assert (ideas[OTHER].doubtful, ideas[OTHER].matches, ideas[OTHER].chances) == (0, 1, 1)
    assert ideas[OTHER].lately == ("matched",)
