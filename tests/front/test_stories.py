"""Problems in stages from outside: in the chat, on paper, for machines."""

from __future__ import annotations

import json
from io import StringIO
from pathlib import Path

import pytest

from grammar.reading import read_network
from tests.conversing import is_staged, is_walking
from tests.front.test_chat import talk, text_of
from tutor.front.chat.before_problem import open_text
from tutor.front.chat.stages import Chat, Gathering, Left, Offered
from tutor.front.chat.talk import leave, respond
from tutor.front.commands import main
from tutor.front.entries import explain_file
from tutor.front.pipe import Streams, talk_json
from tutor.front.plain import Page
from tutor.front.printing import explained_lines
from tutor.front.progress import may_be_typed, standing
from tutor.front.stories import explained
from tutor.teaching.settings import DEFAULTS, Settings

MISSING = "C1 = 3 uF -- C2 = ?; C = 2.1 uF"
LADDER = "ladder of (series 2 uF, shunt 2 uF) without end, across 12 V"
NETWORK = "6 uF -- (9 uF || 5 uF), across 15 V"
TO_THE_END = ("charge", "reciprocals", "7 uF")


@pytest.fixture(autouse=True)
def _nobodys_settings(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The learner's own settings are neither read nor written."""
    monkeypatch.setattr("tutor.front.settings_place.settings_path", lambda: tmp_path / "none.toml")


# In the chat


def test_a_story_begins_and_ends_and_leads_on() -> None:
    answer = talk(MISSING)
    assert is_staged(answer.chat.stage)
    assert [message.kind for message in answer.messages] == ["say", "ask"]
    answer = talk(MISSING, *TO_THE_END)
    assert answer.chat.wants_network
    assert answer.messages[-1].kind == "close"
    assert "another network" in answer.messages[-1].text
    assert is_walking(talk(MISSING, *TO_THE_END, NETWORK).chat.stage)


def test_a_finished_story_starts_again_and_takes_requests() -> None:
    again = talk(MISSING, *TO_THE_END, "start again")
    assert is_staged(again.chat.stage)
    assert again.messages[-1].step == 1
    assert "As a chain must be" in text_of(talk(MISSING, *TO_THE_END, "why"))
    assert "done" in text_of(talk(MISSING, *TO_THE_END, "hint"))
    assert isinstance(talk(MISSING, *TO_THE_END, "book").chat.stage, type(talk("book").chat.stage))


def test_a_text_that_cannot_be_read_after_a_story_is_kept() -> None:
    answer = talk(MISSING, *TO_THE_END, "4 uX -- 3 uF")
    assert answer.chat.draft == "4 uX -- 3 uF"
    assert is_staged(respond(answer.chat, "start again").chat.stage)
    assert is_walking(respond(answer.chat, "change 4 uX to 4 uF").chat.stage)


def test_a_network_in_the_middle_is_asked_about() -> None:
    offered = talk(MISSING, "charge", NETWORK)
    assert isinstance(offered.chat.stage, Offered)
    assert "three capacitors" in text_of(offered)
    assert is_walking(respond(offered.chat, "yes").chat.stage)
    back = respond(offered.chat, "no")
    assert is_staged(back.chat.stage)
    assert back.messages[-1].step == 2


def test_a_story_in_the_middle_of_a_walk_is_asked_about() -> None:
    offered = talk(NETWORK, "C2 C3", MISSING)
    assert isinstance(offered.chat.stage, Offered)
    assert is_staged(respond(offered.chat, "yes").chat.stage)
    back = respond(offered.chat, "no")
    assert is_walking(back.chat.stage)
    assert back.messages[-1].about == "shares"


def test_a_ladder_in_the_middle_is_asked_about() -> None:
    offered = talk(NETWORK, "C2 C3", LADDER)
    assert isinstance(offered.chat.stage, Offered)
    assert "ladder without end" in text_of(offered)
    assert is_staged(respond(offered.chat, "yes").chat.stage)


def test_data_that_leave_it_open_are_refused_with_the_text_kept() -> None:
    text = "C1 = 3 uF || C2 = ?, across 12 V; V1 = 12 V"
    answer = talk(text)
    assert answer.messages[0].verdict == "unread"
    assert answer.chat.draft == text


def test_an_answer_is_no_network() -> None:
    answer = talk(MISSING, "charge", "reciprocals", "1/C2 = 1/(2.1 uF) - 1/(3 uF)")
    assert is_staged(answer.chat.stage)
    assert answer.messages[0].verdict == "incomplete"


def test_a_list_of_joins_in_the_middle_is_gathered() -> None:
    answer = talk(MISSING, "C1 = 4 uF from A to P;")
    assert isinstance(answer.chat.stage, Gathering)
    answer = respond(answer.chat, "C2 = 2 uF from P to B; ends A and B")
    answer = respond(answer.chat, "")
    assert isinstance(answer.chat.stage, Offered)
    given_up = respond(talk(MISSING, "C1 = 4 uF from A to P;").chat, "back")
    assert is_staged(given_up.chat.stage)


def test_settings_are_set_in_the_middle() -> None:
    answer = talk(MISSING, "charge", "set decimal comma")
    assert answer.messages[0].keep is not None
    assert answer.messages[-1].step == 2
    answer = respond(respond(answer.chat, "reciprocals").chat, "7 uF")
    assert "2,1 µF" in text_of(answer)
    refused = talk(MISSING, "set wallpaper blue")
    assert is_staged(refused.chat.stage)
    assert refused.messages[-1].step == 1


def test_stopping_in_the_middle() -> None:
    answer = talk(MISSING, "charge", "stop")
    assert isinstance(answer.chat.stage, Left)
    assert answer.messages[-1].kind == "close"
    assert text_of(leave(talk(MISSING).chat)) == "Stopped."


def test_the_bottom_line_and_completion() -> None:
    chat = talk(MISSING).chat
    assert standing(chat) == "Three answers to go."
    assert may_be_typed(chat)[:2] == ("the p.d.", "the charge")
    chat = respond(respond(chat, "charge").chat, "reciprocals").chat
    assert standing(chat) == "One answer to go."
    assert may_be_typed(chat)[0] == "C2"
    chat = respond(chat, "7 uF").chat
    assert standing(chat).startswith("Done. Type another network")


def test_a_ladder_with_an_end_is_a_walk() -> None:
    assert is_walking(talk("ladder of (series 2 uF, shunt 1 uF), 3 sections").chat.stage)


# For programs and machines


def test_every_message_of_a_story_is_one_object() -> None:
    out = StringIO()
    start = open_text(read_network(MISSING), Chat(DEFAULTS))
    talk_json(start, Streams(StringIO("".join(f"{line}\n" for line in TO_THE_END)), out))
    found = [json.loads(line) for line in out.getvalue().splitlines()]
    verdicts = [each for each in found if each["kind"] == "verdict"]
    assert [each["verdict"] for each in verdicts] == ["right"] * 3
    assert [each["about"] for each in verdicts] == ["shares", "reason", "value"]
    assert {each["kind"] for each in found} == {"say", "ask", "verdict", "reveal", "close"}
    plain = {"kind", "text", "step", "about"}
    for each in found:
        assert set(each) - {"verdict", "malrules"} == plain


def test_a_wrong_rule_is_named_for_the_record() -> None:
    out = StringIO()
    lines = "charge\nreciprocals\n0.90 uF\n"
    talk_json(open_text(read_network(MISSING), Chat(DEFAULTS)), Streams(StringIO(lines), out))
    found = [json.loads(line) for line in out.getvalue().splitlines()]
    named = [each["malrules"] for each in found if each["kind"] == "verdict"]
    assert named[-1] == ["takes-capacitances-apart-in-a-chain"]


def test_a_story_as_one_object() -> None:
    entry = explained(f"  {MISSING}\n", read_network(MISSING))
    assert entry["network"] == MISSING
    assert entry["kind"] == "missing value"
    assert entry["results"] == {"C2": {"si": "7/1000000", "text": "7 µF"}}
    last = entry["steps"][-1]
    assert (last["about"], last["name"]) == ("value", "C2")
    assert last["value"] == {"si": "7/1000000", "text": "7 µF"}
    assert "1/(2.1 µF) − 1/(3 µF)" in last["working"]
    assert entry["steps"][0]["choice"] == "the charge"
    assert entry["checks"]
    json.dumps(entry)


def test_a_surd_is_exact_for_machines_and_rounded_for_people() -> None:
    found = explained(LADDER, read_network(LADDER))
    whole = found["results"]["C"]
    assert "sqrt(5)" in whole["si"]
    assert whole["text"] == "1.236 µF"
    assert [step["value"] for step in found["steps"] if step["name"] == "C"] == [whole]


def test_letters_for_machines() -> None:
    text = "ladder of (series C, shunt 2C) without end"
    found = explained(text, read_network(text))
    assert "C" in found["results"]["X"]["si"]
    (times,) = [step["value"] for step in found["steps"] if step["value"]]
    assert times["text"] == "0.7321"
    json.dumps(explained("x", read_network("ladder of (series C1, shunt C2) without end")))


def test_files_hold_stories_and_networks() -> None:
    text = f"{MISSING}\n\n{NETWORK}\n\nC1 = 3 uF || C2 = ?, across 12 V; V1 = 12 V\n\n{LADDER}\n"
    found = list(explain_file(text, one_per_line=False))
    assert [each.get("kind") for each in found] == [
        "missing value", None, None, "ladder without end",
    ]
    assert found[1]["equivalent"]
    assert found[2]["error"]["line"] == 5


# On paper


@pytest.mark.parametrize("width", [40, 70])
@pytest.mark.parametrize("text", [MISSING, LADDER])
def test_a_story_on_paper(text: str, width: int) -> None:
    page = Page(width, ascii=True)
    lines = list(explained_lines(read_network(text), DEFAULTS, page))
    assert max(map(len, lines)) <= width
    assert all(line.isascii() for line in lines)
    whole = " ".join(" ".join(lines).split())
    assert "1. " in whole
    assert ("so C2 = 7 uF" if text == MISSING else "C = 1/2") in whole
    assert ("put back into the network" if text == MISSING else "always above") in whole


def test_the_commands(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", MISSING]) == 0
    assert "so C2 = 7 µF" in capsys.readouterr().out
    assert main(["explain", MISSING, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["kind"] == "missing value"
    assert main(["explain", "C1 = 3 uF || C2 = ?, across 12 V; V1 = 12 V"]) == 2
    assert "same whatever C2 is" in capsys.readouterr().err


def test_words_of_the_settings_on_paper() -> None:
    lines = explained_lines(read_network(MISSING), Settings("voltage"), Page(70))
    assert "voltage" in " ".join(lines)


def test_working_of_a_story_is_marked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    script = tmp_path / "script.txt"
    script.write_text("1/C2 = 1/2.1 - 1/3\nC2 = 7 mF\n", "utf-8")
    assert main(["mark", MISSING, "--working", str(script), "--json"]) == 0
    first, second, total = map(json.loads, capsys.readouterr().out.splitlines())
    assert list(first) == [
        "pupil", "line", "text", "marks", "verdict", "fault", "malrules", "remark"
    ]
    assert (first["verdict"], second["fault"]) == ("right", "power-of-ten")
    assert total == {"pupil": "script", "total": 2, "of": 3}


def test_working_pasted_into_a_story_is_marked_there() -> None:
    answer = talk(MISSING, "1/C2 = 1/2.1 - 1/3\nC2 = 9 uF")
    verdicts = [m.verdict for m in answer.messages if m.kind == "verdict"]
    assert verdicts == ["right", "wrong"]
    assert "The first thing to look at is line 2." in text_of(answer)
    assert "marks" not in text_of(answer)
    assert is_staged(answer.chat.stage)
    assert answer.messages[-1] == talk(MISSING).messages[-1]


def test_working_of_a_story_is_asked_for_line_by_line() -> None:
    answer = talk(MISSING, "working", "1/C2 = 1/2.1 - 1/3", "C2 = 7 uF")
    assert isinstance(answer.chat.stage, Gathering)
    answer = talk(MISSING, "working", "1/C2 = 1/2.1 - 1/3", "C2 = 7 uF", "")
    assert "Line 2: C2 is right." in text_of(answer)
    assert is_staged(answer.chat.stage)
    done = talk(MISSING, *TO_THE_END, "working", "C2 = 7 uF", "")
    assert "Line 1: C2 is right." in text_of(done)
