"""How a line looks and is completed while it is being typed."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence

from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.formatted_text import StyleAndTextTuples
from prompt_toolkit.lexers import Lexer

_PIECES = re.compile(
    r"(?P<amount>\d[\d.,]*\s?(?:[pnuµμmkM]?[FVCJ]\b)?)"
    r"|(?P<sign>--+|\|\||[—–∥()=;+/*])"
    r"|(?P<word>\b(?:in series(?: with)?|in parallel(?: with)?|series|parallel|across|holding"
    r"|from|to|between|and|wire|ends|asked)\b)"
    r"|(?P<name>[A-Za-z]\w*'*)",
    re.IGNORECASE,
)
# Colours of the user's own palette, none of them red or green; the text alone says everything.
STYLES: Mapping[str, str] = {
    "amount": "ansicyan", "sign": "bold", "word": "ansimagenta", "ask": "bold",
    "right": "ansicyan", "wrong": "ansimagenta", "drawing": "", "heading": "bold",
    "bottom-toolbar": "noreverse", "bottom-toolbar.text": "noreverse",
}  # fmt: skip


class NotationLexer(Lexer):
    """Names, numbers with units, joining signs and the words of the notation, each in its look."""

    def lex_document(self, document: Document) -> Callable[[int], StyleAndTextTuples]:
        """Fragments for each line of the text."""
        lines = document.lines

        def fragments(number: int) -> StyleAndTextTuples:
            return coloured(lines[number]) if number < len(lines) else []

        return fragments


def coloured(line: str) -> StyleAndTextTuples:
    """The line cut into fragments; together they are the line."""
    found: StyleAndTextTuples = []
    done = 0
    for piece in _PIECES.finditer(line):
        if piece.start() > done:
            found.append(("", line[done : piece.start()]))
        style = "" if piece.lastgroup == "name" else f"class:{piece.lastgroup}"
        found.append((style, piece[0]))
        done = piece.end()
    if done < len(line):
        found.append(("", line[done:]))
    return found


class WordCompleter(Completer):
    """Completes the words that make sense now; phrases too, from the start of the line."""

    def __init__(self, words: Callable[[], Sequence[str]]) -> None:
        self.words = words

    def get_completions(
        self, document: Document, complete_event: CompleteEvent
    ) -> Iterable[Completion]:
        """Each word that goes on from what stands before the cursor."""
        del complete_event
        line = document.current_line_before_cursor.lstrip()
        last = re.split(r"[\s,;()=+/]", line)[-1]
        for word in self.words():
            for typed in dict.fromkeys((line, last)):
                if word.lower().startswith(typed.lower()) and (typed or typed == line):
                    yield Completion(word, start_position=-len(typed))
                    break
