"""Facts said plainly: for each fact and each test, the wordings that people would use."""

from __future__ import annotations

from assistant.language import Heard, Words, read

from .corpus import HERE

TABLE = HERE / "said_plainly.txt"


def rows() -> list[tuple[str | None, frozenset[str], str]]:
    """The test asked, the facts wanted and one wording, for each wording of the table."""
    out = []
    for line in TABLE.read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("#"):
            head, _, wordings = line.partition("|")
            asked, _, facts = head.rpartition("~")
            wanted = frozenset(_plain(fact) for fact in facts.split(";"))
            out += [(asked or None, wanted, wording.strip()) for wording in wordings.split(" / ")]
    return out


def _plain(fact: str) -> str:
    name, _, value = fact.partition("=")
    value = {"T": "True", "F": "False"}.get(value, value)
    return f"{name}={value}"


def taken(wording: str, asked: str | None, words: Words) -> frozenset[str]:
    reading = read(wording, Heard(asked=asked), words)
    return frozenset(f"{f.about}.{f.what}={f.value}" for f in reading.facts if f.certain)


def test_nearly_every_wording_gives_its_fact_and_nothing_else(words: Words) -> None:
    wrong = [(asked, wording) for asked, wanted, wording in rows() if taken(wording, asked, words) != wanted]
    assert len(wrong) <= 0.02 * len(rows()), wrong


def test_no_wording_gives_the_opposite(words: Words) -> None:
    turn = {"True": "False", "False": "True", "on": "off", "off": "on", "none": "both", "both": "none"}
    bad = []
    for asked, wanted, wording in rows():
        for fact in wanted:
            name, _, value = fact.partition("=")
            if f"{name}={turn.get(value)}" in taken(wording, asked, words):
                bad.append((wording, fact))
    assert not bad


def test_what_is_no_fact_gives_none(words: Words) -> None:
    said = [
        wording
        for line in (HERE / "no_fact.txt").read_text(encoding="utf-8").splitlines()
        if not line.startswith("#")
        for wording in line.split(" / ")
    ]
    assert len(said) > 150
    assert {w: taken(w, None, words) for w in said if taken(w, None, words)} == {}
