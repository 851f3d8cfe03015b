import zlib
from pathlib import Path

import pytest

from grammar import parsing
from grammar.parsing import GRAMMARS, STARTS, Unparsed, build, parse, parser_of, source_of

# Of the small grammar, which is soon built: all of them are saved and loaded in one way.
TEXTS = ["C23 = C2 + C3 = 5 uF", "charge on C2 is ½ × (2 + 3) uC; V1 = 12/3"]


@pytest.mark.parametrize("name", GRAMMARS)
def test_grammar_is_strictly_lalr_with_terminals_apart(name):
    build(name, source_of(name), strict=True)


@pytest.mark.parametrize("name", GRAMMARS)
def test_tables_are_those_of_the_grammar(name):
    header, _, _ = Path(parsing.__file__).with_name(f"{name}.tables").read_bytes().partition(b"\n")
    crc = zlib.crc32(source_of(name).encode())
    assert header.decode().split()[-1] == f"{crc:08x}", "run python -m grammar.parsing"


@pytest.mark.parametrize("name", GRAMMARS)
def test_loaded_parser_has_the_rules_and_terminals_of_the_grammar(name):
    loaded, built = parser_of(name), build(name, source_of(name))
    assert set(map(repr, loaded.terminals)) == set(map(repr, built.terminals))
    assert {(str(each), each.alias) for each in loaded.rules} == {
        (str(each), each.alias) for each in built.rules
    }


@pytest.fixture
def elsewhere(tmp_path, monkeypatch):
    """The grammar room moved to a folder that a test may spoil."""
    for name in GRAMMARS:
        (tmp_path / f"{name}.lark").write_text(source_of(name), encoding="utf-8")
    monkeypatch.setattr(parsing, "_path", lambda name: str(tmp_path / name))
    parser_of.cache_clear()
    yield tmp_path
    parser_of.cache_clear()


def trees():
    return [parse("answer", text, "start") for text in TEXTS]


def test_missing_tables_are_built_in_memory(elsewhere):
    assert not (elsewhere / "answer.tables").exists()
    assert [str(tree.data) for tree in trees()] == ["start", "start"]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda saved: b"lark 0.0.0 grammar 00000000\n" + saved.partition(b"\n")[2],
        lambda saved: saved[: len(saved) // 2],
        lambda saved: saved.partition(b"\n")[0] + b"\nnonsense",
        lambda _: b"",
    ],
)
def test_spoilt_tables_are_passed_over(elsewhere, spoil):
    parsing.write_tables("answer")
    expected = trees()
    saved = elsewhere / "answer.tables"
    saved.write_bytes(spoil(saved.read_bytes()))
    parser_of.cache_clear()
    assert trees() == expected


@pytest.mark.usefixtures("elsewhere")
def test_written_tables_are_used_and_give_the_same_trees(monkeypatch):
    expected = trees()
    parsing.write_tables("answer")
    parser_of.cache_clear()
    monkeypatch.setattr(parsing, "build", lambda *_: pytest.fail("the tables were not used"))
    assert trees() == expected


@pytest.mark.parametrize(
    ("text", "offset", "found", "wanted"),
    [
        ("4 uF acros 12 V", 5, "acros", "ACROSS"),
        ("4 uF --", 7, "", "NUMBER"),
        ("4 uF % 3 uF", 5, "%", "SERIES_SIGN"),
        ("4 uF, ends A; 2 uF", 12, ";", "AND"),
    ],
)
def test_stuck_says_where_and_what_would_do(text, offset, found, wanted):
    with pytest.raises(Unparsed) as caught:
        parse("network", text, "description")
    assert (caught.value.offset, caught.value.text) == (offset, found)
    assert wanted in caught.value.expected
    assert caught.value.__cause__ is None


def test_each_grammar_has_its_start():
    assert set(STARTS) == set(GRAMMARS)
