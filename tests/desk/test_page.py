"""The page of a class, asked for as any program could: what it takes, and what does no harm."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from http.cookies import SimpleCookie
from itertools import count
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from tests.desk.leads import led_in, said, text_in
from tutor.desk.leading.allowance import Allowance, Pace
from tutor.desk.leading.event_file import read_events
from tutor.desk.leading.led import Led
from tutor.desk.leading.room import USUAL_LIMITS, Limits, Room
from tutor.front.leading.page_server import application

ROOM = "amber kettle"
OPEN = "http://127.0.0.1:8737"


class Clock:
    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        return self.now


class School:
    """A session with its page, and devices on which learners are."""

    def __init__(self, folder: Path, limits: Limits = USUAL_LIMITS) -> None:
        self.folder = folder
        self.clock = Clock()
        self.numbers = count()
        self.led: Led = led_in(folder)
        room = Room(self.led, ROOM, self.clock, lambda: f"key {next(self.numbers)}", limits)
        self.app = application(room, ["127.0.0.1"])
        self.door = TestClient(self.app, base_url=OPEN).__enter__()

    def device(self) -> TestClient:
        self.door.cookies.clear()
        client = TestClient(self.app, base_url=OPEN)
        client.portal = self.door.portal
        return client

    def learner(self, name: str = "") -> TestClient:
        client = self.device()
        reply = client.post("/come-in", json={"room": ROOM, "name": name})
        assert reply.status_code == 200, reply.text
        return client

    def close(self) -> None:
        self.door.__exit__(None, None, None)
        self.led.file.close()

    def answered(self) -> list[str]:
        assert self.led.session.posed is not None
        return [p.text for p in self.led.session.posed.rounds[-1].predictions.values()]


@pytest.fixture
def school(tmp_path: Path) -> Iterator[School]:
    found = School(tmp_path)
    yield found
    found.close()


def answer(client: TestClient, text: object, question: object = 1, round: object = 1) -> int:
    sent = {"text": text, "question": question, "round": round}
    return client.post("/predict", json=sent).status_code


def test_a_learner_comes_in_answers_and_reads_the_explanation(school: School) -> None:
    ada = school.learner("Ada")
    seen = ada.get("/now").json()
    assert seen["stage"] == "asking"
    assert seen["asked"].startswith("Which capacitors can be combined")
    assert "C2, 9 µF, from P to B" in seen["listing"]
    assert (seen["yours"], seen["told"], seen["reply"]) == ("", [], "")
    assert answer(ada, "C1 C2") == 200
    assert answer(ada, "C2  C3") == 200
    assert school.answered() == ["C2 C3"]
    assert ada.get("/now").json()["yours"] == "C2 C3"
    said(school.led, "reveal")
    seen = ada.get("/now").json()
    assert seen["told"] == [
        "For one, C2 and C3 can be combined: their ends meet in the same two points. "
        "Take these now."
    ]
    assert seen["reply"] == "That is right."
    assert "Ada: has answered" in text_in(said(school.led, "who")[0])


def test_nobody_sees_another_or_the_spread(school: School) -> None:
    ada, bob = school.learner("Ada"), school.learner("Bob")
    answer(ada, "C1 C2")
    said(school.led, "spread", "hint", "again", "which", "reveal")
    for path in ("/now", "/", "/picture?question=1", "/page.js"):
        told = bob.get(path).text
        assert "Ada" not in told
        assert "C1 C2" not in told
        assert "two although more meet" not in told


def test_what_has_not_changed_is_not_sent_again(school: School) -> None:
    ada, bob = school.learner(), school.learner()
    first = ada.get("/now")
    tag = first.headers["etag"]
    assert ada.get("/now", headers={"If-None-Match": tag}).status_code == 304
    answer(bob, "C2 C3")
    same = ada.get("/now", headers={"If-None-Match": tag})
    assert (same.status_code, same.content) == (304, b"")
    answer(ada, "C2 C3")
    assert ada.get("/now", headers={"If-None-Match": tag}).status_code == 200


@pytest.mark.parametrize(
    "room", ["amber kettles", "amber", "", "' or 1=1", "<script>alert(1)</script>", "amber\0kettl"]
)
def test_a_wrong_room_admits_nobody(school: School, room: str) -> None:
    client = school.device()
    reply = client.post("/come-in", json={"room": room, "name": "Eve"})
    assert reply.status_code == 403
    assert "Look at the board" in reply.json()["said"]
    assert not client.cookies
    assert answer(client, "C2 C3") == 403
    assert client.get("/now").status_code == 403
    assert not school.led.session.joined


def test_names_of_rooms_cannot_be_tried_out_fast(school: School) -> None:
    client = school.device()
    tried = [
        client.post("/come-in", json={"room": f"word {n}"}).status_code for n in range(60)
    ]
    assert tried[0] == 403
    assert tried[-1] == 429
    assert tried.count(403) <= 20
    right = {"room": ROOM, "name": "Eve"}
    assert client.post("/come-in", json=right).status_code == 429, "or the limit would be none"
    school.clock.now += 4
    assert client.post("/come-in", json=right).status_code == 200


def test_a_made_up_key_admits_nobody(school: School) -> None:
    school.learner()
    (code,) = school.led.session.joined
    for key in ("key 1", code, "", "x" * 5_000):
        client = school.device()
        assert client.get("/now", headers={"Cookie": f"learner={key}"}).status_code == 403


def test_a_script_in_a_name_or_an_answer_stays_text(school: School) -> None:
    script = "<script>alert(1)</script>"
    client = school.learner(f"{script}\x1b[2J\n" + "x" * 500)
    assert answer(client, f"{script}\x1b]0;x\x07") == 200
    (name,) = school.led.session.joined.values()
    assert len(name) <= 40
    assert "\x1b" not in name
    told = text_in(said(school.led, "spread")[0]) + text_in(said(school.led, "who")[0])
    assert "\x1b" not in told
    seen = client.get("/now")
    assert seen.headers["content-type"] == "application/json"
    assert seen.json()["yours"].startswith(script)  # the page sets it as text


def test_a_flood_of_answers_is_stopped_and_counts_once(school: School) -> None:
    ada, bob = school.learner(), school.learner()
    codes = [answer(ada, f"{n} uF") for n in range(200)]
    assert codes.count(200) == 8
    assert codes.count(429) == 192
    assert answer(bob, "C2 C3") == 200
    assert sorted(school.answered()) == ["7 uF", "C2 C3"]
    school.clock.now += 3
    assert answer(ada, "C2 C3") == 200
    assert school.answered() == ["C2 C3", "C2 C3"]


def test_a_room_takes_so_many_and_no_more(tmp_path: Path) -> None:
    school = School(tmp_path, USUAL_LIMITS._replace(learners=3))
    for _ in range(3):
        school.learner()
    reply = school.device().post("/come-in", json={"room": ROOM, "name": ""})
    assert reply.status_code == 503
    assert len(school.led.session.joined) == 3
    school.close()


def test_an_address_that_asks_for_too_much_is_put_off(tmp_path: Path) -> None:
    school = School(tmp_path, USUAL_LIMITS._replace(asking=Pace(5, 1)))
    codes = [school.door.get("/").status_code for _ in range(9)]
    assert codes == [200] * 5 + [429] * 4
    school.clock.now += 2
    assert school.door.get("/").status_code == 200
    school.close()


@pytest.mark.parametrize(
    ("sent", "code"),
    [
        ({"text": "C2 C3", "question": 1, "round": 2}, 409),
        ({"text": "C2 C3", "question": 0, "round": 1}, 409),
        ({"text": "C2 C3"}, 409),
        ({"text": "C2 C3", "question": [1], "round": {"a": 1}}, 409),
        ({"text": "", "question": 1, "round": 1}, 400),
        ({"text": " \n ", "question": 1, "round": 1}, 400),
        ({"text": 14, "question": 1, "round": 1}, 400),
        ({"text": "x" * 301, "question": 1, "round": 1}, 413),
        ([], 400), (None, 400), ("text", 400), (7, 400),
    ],
)
def test_what_cannot_be_an_answer_is_refused(school: School, sent: object, code: int) -> None:
    ada = school.learner()
    assert ada.post("/predict", json=sent).status_code == code
    assert school.answered() == []


def test_a_stale_page_changes_nothing(school: School) -> None:
    ada = school.learner()
    answer(ada, "C1 C2")
    said(school.led, "again")
    assert answer(ada, "C2 C3", round=1) == 409
    said(school.led, "reveal")
    assert answer(ada, "C2 C3", round=2) == 409
    said(school.led, "next")
    assert answer(ada, "C2 C3") == 409
    assert school.answered() == []


@pytest.mark.parametrize(
    ("body", "kind", "code"),
    [
        (b"x" * 5_000, "application/json", 413),
        (b"{", "application/json", 400),
        (b"[" * 3_000, "application/json", 400),
        (b"\xff\xfe", "application/json", 400),
        (b'{"text": "C2 C3", "question": 1, "round": 1}', "text/plain", 400),
        (b"text=C2+C3&question=1&round=1", "application/x-www-form-urlencoded", 400),
    ],
)
def test_other_bodies_are_refused(school: School, body: bytes, kind: str, code: int) -> None:
    ada = school.learner()
    reply = ada.post("/predict", content=body, headers={"Content-Type": kind})
    assert reply.status_code == code
    assert school.answered() == []


@pytest.mark.parametrize(
    "path",
    ["/spread", "/reveal", "/next", "/end", "/lead", "/desk", "/teacher", "/admin", "/projector",
     "/report", "/session.jsonl", "/who", "/page/page.html", "/..%2f..%2fetc/passwd", "/now/",
     "/.git/config", "/page.html"],
)
def test_whoever_leads_cannot_be_reached(school: School, path: str) -> None:
    ada = school.learner()
    before = school.led.session
    for client in (ada, school.device()):
        for method in ("GET", "POST", "PUT", "DELETE"):
            reply = client.request(method, path, json={} if method != "GET" else None,
                                   follow_redirects=False)
            assert reply.status_code in (404, 405, 307)
            assert "amber" not in reply.text
    assert school.led.session == before


def test_another_site_can_neither_ask_nor_post(school: School) -> None:
    ada = school.learner()
    sent = {"text": "C2 C3", "question": 1, "round": 1}
    evil = {"Origin": "http://elsewhere.example"}
    assert ada.post("/predict", json=sent, headers=evil).status_code == 400
    for host in (
        "elsewhere.example", "127.0.0.1.elsewhere.example", "127.0.0.1:80@elsewhere.example",
        "127.0.0.1:8737:elsewhere", "127.0.0.1,elsewhere.example", "[127.0.0.1", "127.0.0.1:", "",
    ):
        assert ada.get("/now", headers={"Host": host}).status_code == 400, host
    for host in ("127.0.0.1", "127.0.0.1:8737", "[127.0.0.1]:8737"):
        assert ada.get("/now", headers={"Host": host}).status_code == 200, host
    assert school.answered() == []
    own = {"Origin": OPEN}
    assert ada.post("/predict", json=sent, headers=own).status_code == 200


def test_every_answer_has_the_headers_that_keep_a_page_shut(school: School) -> None:
    client = school.device()
    for path in ("/", "/page.css", "/page.js", "/now", "/nowhere"):
        headers = client.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "http" not in policy
        assert headers["x-content-type-options"] == "nosniff"
    reply = client.post("/come-in", json={"room": ROOM, "name": ""})
    cookie = SimpleCookie(reply.headers["set-cookie"])["learner"]
    assert cookie["httponly"]
    assert cookie["samesite"] == "strict"


def test_page_says_before_a_name_is_typed_what_becomes_of_it(school: School) -> None:
    assert "it goes when the session is ended" in school.device().get("/").text
    school.led.happened({"event": "recorded", "record": "class.sqlite"})
    said = school.device().get("/").text
    assert "is kept in their record" in said
    assert "it goes when" not in said


def test_page_needs_nothing_from_outside() -> None:
    folder = Path(__file__).parents[2] / "tutor/front/leading/page"
    for file in folder.iterdir():
        text = file.read_text("utf-8")
        assert "http:" not in text
        assert "https:" not in text
        assert "//" not in text.replace("// ", "")
        assert "innerHTML" not in text
        assert " on" + "click" not in text
        assert "style=" not in text


def test_a_picture_is_of_the_question_that_is_on(school: School) -> None:
    ada = school.learner()
    found = ada.get("/picture?question=1")
    assert found.headers["content-type"].startswith("image/svg")
    assert "6 µF" in found.text
    assert ada.get("/picture?question=2").status_code == 404
    assert school.device().get("/picture?question=1").status_code == 404


def test_keys_hold_after_a_restart_and_the_file_does_not_tell_them(tmp_path: Path) -> None:
    first = School(tmp_path)
    ada = first.learner("Ada")
    answer(ada, "C2 C3")
    first.close()
    assert "key 0" not in first.led.file.path.read_text("utf-8")
    again = School(tmp_path)
    client = again.device()
    client.cookies.set("learner", "key 0", domain="127.0.0.1")
    assert client.get("/now").json()["yours"] == "C2 C3"
    assert answer(client, "C1 C2") == 200
    assert again.answered() == ["C1 C2"]
    again.close()


def test_what_is_acknowledged_is_on_the_disk(school: School) -> None:
    ada = school.learner()
    assert answer(ada, "C2 C3") == 200
    last = json.loads(school.led.file.path.read_text("utf-8").splitlines()[-1])
    assert last["text"] == "C2 C3"


def test_a_full_disk_is_told_and_not_counted(
    school: School, monkeypatch: pytest.MonkeyPatch
) -> None:
    ada = school.learner()

    written = os.write

    def full(file: int, data: bytes) -> int:
        if len(data) < 20:
            raise OSError(28, "No space left on device")
        return written(file, data[: len(data) - 19])

    monkeypatch.setattr("os.write", full)
    assert answer(ada, "C2 C3") == 503
    monkeypatch.undo()
    assert school.answered() == []
    assert answer(ada, "C1 C2") == 200
    assert read_events(school.led.file.path)[-1]["text"] == "C1 C2"


def test_an_allowance_comes_back_with_time_and_forgets_the_oldest() -> None:
    clock = Clock()
    pace = Allowance(Pace(2, 0.5), clock)
    assert [pace.takes("a") for _ in range(3)] == [True, True, False]
    clock.now = 2
    assert [pace.takes("a") for _ in range(2)] == [True, False]
    for n in range(5_000):
        pace.takes(f"hand {n}")
    assert len(pace._left) <= 2_000
