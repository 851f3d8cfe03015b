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


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pages_have_no_fault_of_accessibility(
    tmp_path: Path, browser: Browser, scheme: str
) -> None:
    axe = (files("axe_core_python") / "axe.min.js").read_text("utf-8")
    words = "a parallel set in a chain; joining crossed; bridge; why they share"
    out = str(tmp_path / "s.html")
    assert main(["sheet", words, "--problems", "4", "--seed", "3", "--out", out]) == 0
    for name in ("s.html", "s-key.html"):
        tab = opened(browser, tmp_path / name)
        tab.call("Emulation.setEmulatedMedia",
                 features=[{"name": "prefers-color-scheme", "value": scheme}])
        tab.value(f"{axe}; 0")
        assert tab.value("axe.run().then(r => r.violations.map(v => v.id))") == []
