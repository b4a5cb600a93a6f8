"""Languages as data: what a folder must hold, what falls back, and that nothing but the case decides which it is."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from assistant.begin import begin, go_on
from assistant.cli import main
from assistant.errors import KnowledgeError
from assistant.journal.resume import language_of
from assistant.knowledge import BASE, fingerprint, languages, load
from assistant.knowledge.base import load_from, rule_files
from assistant.knowledge.reader import rules_folder
from assistant.knowledge.tongue import read_replies
from assistant.lint import check_rules, gaps_of
from assistant.session import Session
from assistant.terminal.settings import Settings

OTHERS = [name for name in languages() if name != BASE]
SAFETY = ("hazards", "parts", "attributes", "circumstances")
"""What must never come in another language than the one of the case."""


def slots(text: Any) -> list[str]:
    return sorted(re.findall(r"\{(\w+)", json.dumps(text, ensure_ascii=False)))


@pytest.mark.parametrize("language", OTHERS)
def test_what_safety_hangs_on_is_never_lacking(language: str) -> None:
    assert [gap for gap in gaps_of(load(language)) if gap.kind in SAFETY] == []


@pytest.mark.parametrize("language", OTHERS)
def test_the_same_words_are_filled_in(language: str) -> None:
    base, own = read_replies(rules_folder(), BASE), read_replies(rules_folder(), language)
    assert {k for k in own if k not in base} == set()
    open_words = {k for k in own if k != "levels" and slots(own[k]) != slots(base[k])}
    assert open_words == set()
    tongue = load(language).tongue
    assert {text for text, said in tongue.sentences.items() if slots(text) != slots(said)} == set()


@pytest.mark.parametrize("language", OTHERS)
def test_sides_and_poles_are_not_swapped(language: str) -> None:
    """Two sentences that differ in the side alone differ so in the other language too, and by the same word."""
    said = load(language).tongue.sentences
    pairs = [(a, re.sub(r"\bport\b", "starboard", a)) for a in said if re.search(r"\bport\b", a)]
    pairs = [(a, b) for a, b in pairs if b != a and b in said]
    assert len(pairs) > 50
    words = {(x, y) for a, b in pairs for x, y in _differing(said[a], said[b])}
    assert len({x[-4:] for x, _ in words} & {y[-4:] for _, y in words}) == 0 or all(
        x.lower().replace("backbord", "steuerbord") == y.lower() for x, y in words
    )
    assert all(x != y for x, y in words) and words


def _differing(one: str, other: str) -> list[tuple[str, str]]:
    return [(x, y) for x, y in zip(one.split(), other.split(), strict=True) if x != y]


def test_the_check_says_what_a_language_lacks(capsys: pytest.CaptureFixture[str]) -> None:
    lines = check_rules(load(), pairs=False).lines()
    assert [line for line in lines if "de lacks" in line]
    main(["rules", "check", "--language", "de"])
    assert re.search(r"^\d+ texts are lacking\.$", capsys.readouterr().out, re.M)


def copied(folder: Path) -> Path:
    for name, path in rule_files():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(path.read_bytes())
    return folder


def test_a_changed_sentence_falls_back_and_is_not_said_wrongly(tmp_path: Path) -> None:
    rules = copied(tmp_path)
    old = load().hazards["vapour_spark"].text
    path = rules / "hazards.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace(old, old + " Wait."), encoding="utf-8")
    assert load_from(rules, "de").hazards["vapour_spark"].text == old + " Wait."
    assert load("de").hazards["vapour_spark"].text != old


def test_an_unknown_language_is_named_with_those_that_there_are() -> None:
    with pytest.raises(KnowledgeError, match="no language 'xx'; there are: de, en"):
        load("xx")


def test_a_case_does_not_hang_on_the_words_of_other_languages(tmp_path: Path) -> None:
    rules = copied(tmp_path)
    before = {name: fingerprint(rules, name) for name in ("en", "de")}
    with (rules / "words" / "de" / "talk.yaml").open("a", encoding="utf-8") as file:
        file.write("# more\n")
    assert fingerprint(rules, "en") == before["en"]
    assert fingerprint(rules, "de") != before["de"]


@pytest.mark.parametrize("language", languages())
def test_the_language_stands_in_the_record_and_is_gone_on_with(language: str, tmp_path: Path) -> None:
    path = tmp_path / "case.jsonl"
    session, journal = begin("technician", path, language)
    assert journal is not None
    session.take({"say": "dunkel" if language == "de" else "panel dark", "at": "2026-05-04T09:00:00Z"})
    journal.close()
    header = json.loads(path.read_text(encoding="utf-8").splitlines()[0])["entry"]
    assert header["language"] == language == language_of(header)
    again, journal, _ = go_on(path)
    assert journal is not None
    journal.close()
    assert again.knowledge.tongue.language == language
    assert again.standing()[0]["what"] == "lights"


def test_a_record_without_a_language_is_english() -> None:
    assert language_of({"kind": "case"}) == "en"


def test_replay_and_audit_read_it_in_its_language(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "case.jsonl"
    session, journal = begin("technician", path, "de")
    assert journal is not None
    session.take({"say": "Hauptsicherung ist nicht durchgebrannt", "at": "2026-05-04T09:00:00Z"})
    journal.close()
    assert main(["replay", str(path)]) == 0
    assert "The case runs again as it was recorded." in capsys.readouterr().out


def test_only_what_was_asked_for_decides(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for name in ("LANG", "LC_ALL", "LANGUAGE", "LC_MESSAGES"):
        monkeypatch.setenv(name, "de_DE.UTF-8")
    assert Session(load()).header()["language"] == "en"
    file = tmp_path / "settings.json"
    assert Settings.load(file).language == ""
    file.write_text('{"theme": "night", "language": "de"}', encoding="utf-8")
    assert Settings.load(file).language == "de"


def test_the_decimal_sign_is_that_of_the_language() -> None:
    out = Session(load("de")).take({"say": "12,4 Volt an der Batterie", "at": "2026-05-04T09:00:00Z"})
    assert out["understood"][0]["value"] == 12.4
    assert "12,4 V" in out["reply"] and "12.4" not in out["reply"]
