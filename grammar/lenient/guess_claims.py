"""What the words of a text claim of its capacitors: which stand together, and in which way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from grammar.lenient.guess_book import ClaimBook, has_some, union_of
from grammar.lenient.guess_clause import ClauseGuess
from grammar.lenient.guess_records import PARALLEL, SERIES, WordHeard
from grammar.lenient.guess_trees import JoinClaim, bits_of


def claims_of(heard: Sequence[WordHeard]) -> tuple[list[JoinClaim], list[WordHeard]]:
    """The claims of all that is heard, and the words of joining that nothing came of."""
    telling = ClaimTelling()
    heard = _without_lists(heard)
    for sentence in _with_nouns_told(list(_parted(heard))):
        telling.hear(sentence)
    telling.close_parts()
    if telling.awaited or telling.promised:
        telling.unused.append(WordHeard("parts", "parts"))
    return telling.claims, telling.unused


def _without_lists(heard: Sequence[WordHeard]) -> list[WordHeard]:
    """What is heard without lists of values of capacitors that are spoken of elsewhere."""
    bare = {i for each in heard if each.kind == "some" and each.form != "given" for i in each.who}
    found: list[WordHeard] = []
    at = 0
    while at < len(heard):
        end = at
        while end < len(heard) and (
            (heard[end].kind == "some" and heard[end].form == "given")
            or (end > at and heard[end].kind in ("and", "comma", "stop"))
        ):
            end += 1
        who = {i for each in heard[at:end] for i in each.who}
        near = [e.kind for e in (*found[-1:], *heard[end : end + 1])]
        if end > at and who <= bare and "way" not in near:
            found.append(WordHeard("stop", "."))
        else:
            found += heard[at : max(end, at + 1)]
        at = max(end, at + 1)
    return found


def _with_nouns_told(sentences: list[list[WordHeard]]) -> list[list[WordHeard]]:
    """What a noun stands for, told in a later sentence, put in its place."""
    told = list(sentences)
    for at, sentence in enumerate(sentences):
        for i, each in enumerate(sentence):
            if each.kind != "noun" or sentence not in told:
                continue
            later = [s for s in told if s in sentences[at + 1 :] and _tells_of(s, each)]
            if len(later) == 1:
                told.remove(later[0])
                head = next(i for i, e in enumerate(later[0]) if e.kind == "back")
                inner = [WordHeard("open", "("), *later[0][head + 1 :], WordHeard("close", ")")]
                place = told.index(sentence)
                told[place] = [*sentence[:i], *inner, *sentence[i + 1 :]]
                return _with_nouns_told(told)
    return told


def _tells_of(sentence: Sequence[WordHeard], noun: WordHeard) -> bool:
    """Whether a sentence says what is in what a noun stands for."""
    word = noun.text.split()[-1].lower()
    head = next((e for e in sentence if e.kind not in ("and", "comma", "which", "with")), noun)
    said = head.text.split()[-1].lower()
    return head.kind == "back" and said in (word, "one") and has_some(sentence)


def _parted(heard: Sequence[WordHeard]) -> Iterator[list[WordHeard]]:
    row: list[WordHeard] = []
    for each in heard:
        if each.kind == "stop":
            if row:
                yield row
            row = []
        elif each.kind != "word":
            row.append(each)
    if row:
        yield row


class ClaimTelling(ClaimBook):
    """The sentences of a text one after the other, with the parts that are told one by one."""

    def __init__(self) -> None:
        super().__init__()
        self.parts: list[int] = []  # branches or groups that are being told one by one
        self.parts_way = ""
        self.part_way = ""  # of the members of the last part
        self.promised: tuple[str, int] | None = None  # what a group told later is joined to
        self.form = ""
        self.awaited = 0  # so many parts are to be told

    def hear(self, sentence: list[WordHeard]) -> None:
        """One more sentence."""
        sentence = _as_operands(sentence)
        if at := _said_at_last(sentence):
            self.hear(sentence[:at])
            self.hear(sentence[at:])
            return
        if rows := _parts_listed(sentence):
            self._tell_listed(sentence, rows)
            return
        plural = [e for e in sentence if e.kind == "parts" or (e.kind == "noun" and e.many > 1)]
        if plural and not has_some(sentence):
            self._parts_said(sentence, plural[0])
        elif any(each.kind == "part" for each in sentence):
            self._tell_parts(sentence)
        elif has_some(sentence):
            self._tell_whole(sentence)
        else:
            self._say_of_all(sentence)

    def _tell_listed(self, sentence: Sequence[WordHeard], rows: list[list[WordHeard]]) -> None:
        """So many parts, and then one after the other what is in each."""
        self.close_parts()
        plural = next(each for each in sentence if each.kind == "parts")
        self.form, self.parts_way = plural.form, PARALLEL if plural.form == "branch" else ""
        for row in rows:
            self._tell_part(row)
        self.so_far = union_of(self.parts)
        self.close_parts()

    def _say_of_all(self, sentence: Sequence[WordHeard]) -> None:
        """``In series.``: said of all that was told, or of what is pointed at."""
        ways = [each for each in sentence if each.kind == "way" and each.form != "weak"]
        if not ways:
            return
        many = max((each.many for each in sentence if each.kind == "back"), default=0)
        them = WordHeard("back", "", many=many)
        aims = [aim for aim in self.pointed_at(them, 0) if aim.bit_count() > 1]
        whole = [aim for aim in aims if aim == self.so_far]
        if len(ways) > 1 or not aims or (self.claims and not many):
            self.unused += ways
            return
        self.claim(ways[0].way, tuple(bits_of((whole or aims)[0])), ways[0].text)
        self.groups.append((whole or aims)[0])

    def _tell_whole(self, sentence: list[WordHeard]) -> None:
        self.close_parts()
        promised, self.promised = self.promised, None
        clause = ClauseGuess(self, 0 if promised else self.so_far)
        clause.tell(self._without_parts(sentence))
        if promised and clause.reached:
            self.claim(promised[0], (promised[1], clause.reached), "")
            self.groups.append(promised[1] | clause.reached)
        if clause.pending and clause.awaits:
            self.promised = (clause.pending[-1].way, clause.reached)
        else:
            self.unused += clause.pending

    def _without_parts(self, row: Sequence[WordHeard]) -> list[WordHeard]:
        """What is told but for the mention of several parts, whose way of joining is kept."""
        found: list[WordHeard] = []
        for each in row:
            if each.kind == "parts":
                self.form, self.parts_way = each.form, PARALLEL if each.form == "branch" else ""
                self.awaited = max(each.many, 2)
                found.append(each)
            elif each.kind == "way" and found and found[-1].kind == "parts" and not each.form:
                self.parts_way = each.way
            else:
                found.append(each)
        return [each._replace(kind="noun") if each.kind == "parts" else each for each in found]

    def _parts_said(self, sentence: Sequence[WordHeard], plural: WordHeard) -> None:
        """``the two groups are in series``: said of what was told, or of what will be."""
        ways = [each for each in sentence if each.kind == "way"]
        way = ways[0].way if ways else ""
        self.unused += ways[1:]
        told = self.parts or self.groups
        if way and plural.many > 1 and len(told) > plural.many:
            told = told[-plural.many :]
        if way and len(told) > 1 and plural.many in (0, len(told)):
            self.claim(way, tuple(told), plural.text)
            self.parts, self.awaited, self.parts_way = [], 0, ""
            self.groups = [union_of(told)]
        elif way or plural.form == "branch":
            self.form, self.parts_way = plural.form, way or PARALLEL
            self.awaited = max(plural.many, 2)

    def _tell_parts(self, sentence: Sequence[WordHeard]) -> None:
        """Parts told one by one, each up to where the next begins."""
        at = [i for i, each in enumerate(sentence) if each.kind == "part"]
        form = sentence[at[0]].form
        if self.parts and self.form != form:
            self.unused.append(sentence[at[0]])
        self.form = form
        if any(sentence[i].form != form for i in at):
            self.unused.append(sentence[at[-1]])
        rows = [sentence[i:j] for i, j in zip(at, [*at[1:], len(sentence)], strict=True)]
        lead = sentence[: at[0]]
        if not has_some(rows[-1]) and has_some(lead):
            begin = max(
                (i + 1 for i, e in enumerate(lead) if e.kind in ("fork", "parts")), default=0
            )
            rows = [sentence[i:j] for i, j in zip([begin, *at], at, strict=False)]
            lead = sentence[:begin]
        lead = self._without_parts(lead)
        if has_some(lead):
            self._tell_whole(lead)
        elif ways := [each for each in lead if each.kind == "way"]:
            self.parts_way = ways[0].way
            self.unused += ways[1:]
        tail = _further_on(rows[-1])
        rows[-1] = rows[-1][: len(rows[-1]) - len(tail)]
        for row in rows:
            if has_some(row):
                self._tell_part([e for e in row if e.kind not in ("part", "parts")])
            else:
                self.unused += [each for each in row if each.kind == "way"]
        if tail:
            self._tell_whole(tail)

    def _tell_part(self, row: list[WordHeard]) -> None:
        before = len(self.claims)
        clause = ClauseGuess(self, 0)
        clause.tell(row)
        self.unused += clause.pending
        bits = tuple(bits_of(clause.reached))
        way = SERIES if self.form == "branch" else self.part_way
        if len(self.claims) == before and len(bits) > 1 and way:
            self.claim(way, clause.runs or bits, "branch")
        self.part_way = self.claims[-1].way if len(self.claims) > before else ""
        self.parts.append(clause.reached)

    def close_parts(self) -> None:
        """All parts have been told: they are joined."""
        if not self.parts:
            return
        if len(self.parts) < self.awaited:
            self.unused.append(WordHeard("parts", "parts"))
        self.awaited = 0
        parts, way = self.parts, self.parts_way or (PARALLEL if self.form == "branch" else "")
        self.parts, self.parts_way = [], ""
        if len(parts) > 1 and way:
            self.claim(way, tuple(parts), "parts")
            self.groups.append(union_of(parts))
        if self.promised is not None:
            joint, reached = self.promised
            self.claim(joint, (reached, union_of(parts)), "parts")
            self.groups.append(reached | union_of(parts))
        self.promised = None


def _parts_listed(sentence: Sequence[WordHeard]) -> list[list[WordHeard]]:
    """``three branches: a 1, a 2 in series with a 6, and a 4``: what is in each, where so many are
    listed between commas; nothing otherwise.
    """
    at = next((i for i, each in enumerate(sentence) if each.kind == "parts"), len(sentence))
    if at + 1 >= len(sentence) or has_some(sentence[:at]) or sentence[at + 1].kind != "comma":
        return []
    rows: list[list[WordHeard]] = [[]]
    for each in sentence[at + 2 :]:
        if each.kind == "comma":
            rows.append([])
        elif rows[-1] or each.kind != "and":
            rows[-1].append(each)
    rows = [row for row in rows if row]  # a supply stood behind the last comma
    is_so = len(rows) == sentence[at].many and all(has_some(row) for row in rows)
    return rows if is_so and not any(e.kind == "part" for row in rows for e in row) else []


def _further_on(row: Sequence[WordHeard]) -> list[WordHeard]:
    """``..., and then an 18``: what comes after all parts, told where the last of them is."""
    for at in range(1, len(row) - 2):
        kinds = [each.kind for each in row[at : at + 3]]
        if kinds == ["comma", "and", "way"] and row[at + 2].form in ("weak", "it"):
            return [*row[at + 1 :]]
    return []


def _said_at_last(sentence: Sequence[WordHeard]) -> int:
    """``A and B in parallel, C and D in parallel, the two pairs in series``: where the last of this
    begins, 0 where there is none.
    """
    for at, each in enumerate(sentence):
        if each.kind == "parts" and at and has_some(sentence[:at]):
            after = [e.kind for e in sentence[at:]]
            if "way" in after and "some" not in after:
                return at
    return 0


def _as_operands(sentence: Sequence[WordHeard]) -> list[WordHeard]:
    """``in series with another group``: no new part, but what something is joined to."""
    found: list[WordHeard] = []
    for each in sentence:
        before = [e for e in found if e.kind != "with"]
        joined = before and before[-1].kind == "way" and before[-1].form == "to"
        found.append(each._replace(kind="noun") if each.kind == "part" and joined else each)
    return found
