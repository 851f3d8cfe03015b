"""What is printed, in a real browser: no fault of accessibility, and the letters of pictures as
wide as they truly are there.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import pytest

from grammar.reading import read_network
from tests.desk.chromium import Browser, Tab, program
from tests.desk.leads import led_in, said
from tutor.desk.pictures.canvas import svg
from tutor.desk.pictures.pictured import picture_of
from tutor.front.commands import main

pytestmark = pytest.mark.skipif(
    program() is None and "CI" not in os.environ,
    reason="no Chromium on this machine: apt-get install chromium brings Debian's",
)
GALLERY = Path(__file__).parents[1] / "cases" / "gallery.txt"
# Boxes of words that meet other words, or a line; guides are meant to pass under words.
CLASHES = """
(() => {
  const found = [];
  const meet = (a, b) => a.left < b.right && b.left < a.right && a.top < b.bottom
    && b.top < a.bottom;
  for (const picture of document.querySelectorAll('svg')) {
    const words = [...picture.querySelectorAll('text')].map(t => {
      const box = t.getBBox();
      return {said: t.textContent, left: box.x, right: box.x + box.width,
        top: box.y + 0.24 * box.height, bottom: box.y + 0.86 * box.height};
    });
    const lines = [...picture.querySelectorAll('path:not(.guide)')].map(p => {
      const box = p.getBBox();
      return {said: p.dataset.of, left: box.x - 1, right: box.x + box.width + 1,
        top: box.y - 1, bottom: box.y + box.height + 1};
    });
    words.forEach((word, at) => {
      for (const other of [...words.slice(at + 1), ...lines])
        if (meet(word, other)) found.push(word.said + ' on ' + other.said);
    });
  }
  return found;
})()
"""


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    found = Browser(tmp_path_factory.mktemp("browser"))
    yield found
    found.close()


def opened(browser: Browser, path: Path) -> Tab:
    tab = browser.tab(path.as_uri(), width=1000)
    tab.has("document.readyState === 'complete' && document.body.children.length")
    return tab


def pictures() -> str:
    texts = GALLERY.read_text("utf-8").split("\n", 1)[1].split("\n\n")
    return "".join(svg(picture_of(read_network(text))) for text in texts if text.strip())


def test_words_of_the_gallery_touch_nothing_as_the_browser_sets_them(
    tmp_path: Path, browser: Browser
) -> None:
    page = tmp_path / "gallery.html"
    page.write_text(f"<!DOCTYPE html><meta charset='utf-8'><body>{pictures()}", "utf-8")
    tab = opened(browser, page)
    assert tab.value("document.querySelectorAll('svg').length") >= 40
    assert tab.value(CLASHES) == []
    tab.value("document.querySelector('text').setAttribute('font-size', '90'); 0")
    assert tab.value(CLASHES), "a word that is far too large is to be seen"


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Every sort of page that the program makes: sheets, a lesson, a paper, all with their keys;
    the marks of a class, what it holds, what one of it holds, and a guided session.
    """
    made = tmp_path_factory.mktemp("pages")
    words = "a parallel set in a chain; joining crossed; bridge; why they share"
    problem, record = "3 uF -- 7 uF, across 12 V", str(made / "class.sqlite")
    scripts = made / "scripts"
    scripts.mkdir()
    for name, script in (("Ada", "C = 3 + 7 = 10 uF"), ("Ben", "C = 2.1 uF\nQ = 25.2 uC")):
        (scripts / f"{name}.txt").write_text(script, "utf-8")
    led = led_in(made)
    said(led, "5 C2 C3, 6 C1 C2", "again", "11 C2 C3", "reveal", "next", "7 p.d.", "reveal", "end")
    for command in (
        ["sheet", words, "--problems", "4", "--seed", "3", "--out", str(made / "s.html")],
        ["sheet", "two in series", "--variants", "2", "--out", str(made / "two.html")],
        ["lesson", "10", "--print", str(made / "l.html")],
        ["paper", "unit 3, 8 marks, seed 2", "--print", str(made / "p.html")],
        ["mark", problem, "--class", str(scripts), "--to", str(made / "m"), "--record", record],
        ["class", "--record", record, "--to", str(made / "c"), "--since", "2026-11-09"],
        ["class", "--record", record, "--learner", "Ada", "--to", str(made / "one")],
        ["lead", "--report", "--session", str(led.file.path), "--to", str(made / "led.html")],
    ):
        assert main(command) == 0, command
    return sorted(made.rglob("*.html"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pages_have_no_fault_of_accessibility(
    pages: list[Path], browser: Browser, scheme: str
) -> None:
    axe = (files("axe_core_python") / "axe.min.js").read_text("utf-8")
    assert len(pages) == 12
    for page in pages:
        tab = opened(browser, page)
        tab.call("Emulation.setEmulatedMedia",
                 features=[{"name": "prefers-color-scheme", "value": scheme}])
        tab.value(f"{axe}; 0")
        found = tab.value("axe.run().then(r => r.violations.map(v => v.id + ' ' + v.help))")
        assert found == [], (page.name, found)
