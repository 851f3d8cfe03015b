"""The file of settings and the saving of a fair copy."""

from __future__ import annotations

import os
import sys
import tomllib
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar.records import Refusal
from tutor.front.options import Options
from tutor.front.saving import carry_out, save_copy
from tutor.front.settings_place import as_toml, read_settings, settings_path, write_settings
from tutor.front.surroundings import kept_settings
from tutor.teaching.messages import Message
from tutor.teaching.settings import CHOICES, USUAL, Settings

OTHERS = Settings("potential difference", "U", "W", "comma", 6)


def refused(path: Path, text: str) -> Refusal:
    path.write_text(text, "utf-8")
    with pytest.raises(Refusal) as caught:
        read_settings(path)
    return caught.value


def test_no_file_means_the_usual_settings(tmp_path: Path) -> None:
    assert read_settings(tmp_path / "none.toml") == USUAL


@given(st.tuples(*(st.sampled_from(values) for values in CHOICES.values())))
def test_what_is_written_is_read_again(values: tuple[object, ...]) -> None:
    settings = Settings(*values)  # type: ignore[arg-type]
    table = tomllib.loads(as_toml(settings))
    assert Settings(**table) == settings


def test_writing_makes_the_folder_and_leaves_nothing_beside(tmp_path: Path) -> None:
    path = tmp_path / "new" / "settings.toml"
    write_settings(path, OTHERS)
    write_settings(path, OTHERS)
    assert read_settings(path) == OTHERS
    assert [each.name for each in path.parent.iterdir()] == ["settings.toml"]


def test_a_part_of_the_settings_will_do(tmp_path: Path) -> None:
    path = tmp_path / "s.toml"
    path.write_bytes(b"\xef\xbb\xbf# mine\r\nfigures = 3\r\n")
    assert read_settings(path) == USUAL._replace(figures=3)


@pytest.mark.parametrize(
    ("text", "line", "found"),
    [
        ("figures = 3\ncolour = 1\n", 2, "There is no setting colour."),
        ("[figures]\nhow = 3\n", 1, "figures cannot be"),
        ("# remark\n\nfigures = 9", 3, "figures cannot be 9."),
        ("figures = true", 1, "figures cannot be true."),
        ("figures = 4.0", 1, "figures cannot be 4.0."),
        ('figures = "4"', 1, 'figures cannot be "4".'),
        ("pd_letter = 'X'", 1, 'pd_letter cannot be "X".'),
        ('"pd_letter" = 1979-05-27', 1, "pd_letter cannot be 1979-05-27."),
        ("figures = 3\nfigures three\n", 2, "This line is not TOML."),
        ("figures = ", 1, "This line is not TOML."),
    ],
)
def test_what_is_wrong_is_said_with_its_line(
    tmp_path: Path, text: str, line: int, found: str
) -> None:
    refusal = refused(tmp_path / "s.toml", text)
    assert refusal.found.startswith(found)
    assert refusal.place is not None
    assert refusal.place.line == line
    assert refusal.place.line_text == text.splitlines()[line - 1]
    assert refusal.cure


def test_a_file_that_is_no_text_or_no_file(tmp_path: Path) -> None:
    path = tmp_path / "s.toml"
    path.write_bytes(b"figures = \xff")
    with pytest.raises(Refusal, match="not text in UTF-8"):
        read_settings(path)
    with pytest.raises(Refusal, match="cannot be read"):
        read_settings(tmp_path)


def test_what_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(Refusal, match="They hold until you leave"):
        write_settings(tmp_path / "file" / "settings.toml", OTHERS)
    said = carry_out(Message("say", "", keep=OTHERS), tmp_path / "file" / "s.toml")
    assert said is not None
    assert said.startswith("The settings could not be kept in")


@given(text=st.text(max_size=80))
def test_any_text_is_read_or_refused(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    path = tmp_path_factory.getbasetemp() / "any.toml"
    path.write_text(text, "utf-8", errors="replace", newline="")
    with suppress(Refusal):
        assert isinstance(read_settings(path), Settings)


@pytest.mark.skipif(sys.platform != "linux", reason="the folder of the XDG standard")
def test_the_file_is_in_the_folder_for_configuration(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    assert settings_path() == tmp_path / "platewalk" / "settings.toml"


def test_a_fair_copy_is_saved_and_nothing_written_over(tmp_path: Path) -> None:
    path = tmp_path / "my copy.txt"
    message = Message("reveal", "C = 2 µF", save_as=str(path))
    assert carry_out(message, None) == f"Saved in {path}."
    assert path.read_text("utf-8") == "C = 2 µF\n"
    assert "nothing was written over it" in (carry_out(message, None) or "")
    assert path.read_text("utf-8") == "C = 2 µF\n"


@pytest.mark.parametrize("name", ["no such folder/x", "a\0b", "", ".", "~nobody-here/x"])
def test_a_name_that_will_not_do_is_said(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, name: str
) -> None:
    monkeypatch.chdir(tmp_path)
    said = save_copy(name, "text")
    assert said.endswith("Give another name.")
    assert os.listdir(tmp_path) == []


def test_settings_are_kept_where_a_file_is_named(tmp_path: Path) -> None:
    path = tmp_path / "s.toml"
    message = Message("say", "…", keep=OTHERS)
    assert carry_out(message, None) is None
    assert carry_out(message, path) == f"Kept in {path}."
    assert read_settings(path) == OTHERS
    assert carry_out(Message("say", "…"), path) is None


@pytest.mark.parametrize("text", [
    "figures = " + "[" * 50_000, "figures = 1" + "0" * 10_000, "figures = 0x1" + "0" * 10_000,
    "figures = 1e999", f"{'a.' * 50_000}b = 1",
])
def test_settings_beyond_all_measure_are_refused(tmp_path: Path, text: str) -> None:
    path = tmp_path / "settings.toml"
    path.write_text(text, "utf-8")
    with pytest.raises(Refusal) as refused:
        read_settings(path)
    assert len(str(refused.value)) < 3_000


def test_what_is_not_to_be_kept_leaves_no_settings_to_the_next_learner(tmp_path: Path) -> None:
    named = tmp_path / "own.toml"
    assert kept_settings(Options(unrecorded=True)) is None
    assert kept_settings(Options(unrecorded=True, settings_file=str(named))) == named
    assert kept_settings(Options()) == settings_path()


def test_settings_are_read_from_files_alone(tmp_path: Path) -> None:
    for path in (Path(os.devnull), tmp_path):
        with pytest.raises(Refusal, match="cannot be read"):
            read_settings(path)
