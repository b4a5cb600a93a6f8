"""Signatures over heads: what they show, and that nothing else passes for one."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from sample_case import at, output, record

from assistant.errors import JournalError
from assistant.journal import Journal, check
from assistant.journal.signing import new_key, public_key, sign, signatures, signed_path

pytest.importorskip("cryptography")


@pytest.fixture
def case(tmp_path: Path) -> Path:
    lines = [{"say": f"words {n}", "at": at(n)} for n in range(1, 4)]
    record(tmp_path / "case.jsonl", lines, [output(n) for n in range(1, 4)])
    return tmp_path / "case.jsonl"


def states(case: Path, *trusted: str) -> list[str]:
    return [vouched.state for vouched in signatures(check(case.read_bytes()), case, trusted)]


def test_a_signature_is_good_only_under_a_trusted_key(case: Path, tmp_path: Path) -> None:
    public = new_key(tmp_path / "mine")
    assert states(case) == []
    assert sign(check(case.read_bytes()), case, tmp_path / "mine") == public
    assert states(case) == ["not_trusted"]
    assert states(case, public_key(str(tmp_path / "mine.pub"))) == ["good"]
    assert states(case, new_key(tmp_path / "other")) == ["not_trusted"]
    assert (tmp_path / "mine").stat().st_mode & 0o077 == 0


def test_a_signature_shows_a_cut_off_end_and_a_rewritten_journal(case: Path, tmp_path: Path) -> None:
    public = new_key(tmp_path / "mine")
    sign(check(case.read_bytes()), case, tmp_path / "mine")
    whole = case.read_bytes().splitlines(keepends=True)
    case.write_bytes(b"".join(whole[:-1]))
    assert check(case.read_bytes()).problems == () and states(case, public) == ["cut_off"]
    case.unlink()
    record(case, [{"say": f"others {n}", "at": at(n)} for n in range(1, 4)], [output(n) for n in range(1, 4)])
    assert check(case.read_bytes()).problems == () and states(case, public) == ["other_entry"]


def test_a_journal_that_went_on_is_vouched_for_up_to_the_signature(case: Path, tmp_path: Path) -> None:
    public = new_key(tmp_path / "mine")
    sign(check(case.read_bytes()), case, tmp_path / "mine")
    with Journal.open(case)[0] as journal:
        journal.append({"kind": "turn", "turn": 4})
    found = signatures(check(case.read_bytes()), case, [public])
    assert [(v.state, v.entries) for v in found] == [("good", 4)]


def test_every_changed_field_of_a_signature_is_found(case: Path, tmp_path: Path) -> None:
    public = new_key(tmp_path / "mine")
    sign(check(case.read_bytes()), case, tmp_path / "mine")
    line = json.loads(signed_path(case).read_bytes())
    changes = [
        ({"entries": 3}, "forged"),
        ({"head": "0" * 64}, "forged"),
        ({"signature": "00" * 64}, "forged"),
        ({"signature": "zz"}, "unreadable"),
        ({"key": "ff" * 32}, "unreadable forged"),
        ({"key": "ff"}, "unreadable"),
        ({"entries": "many"}, "unreadable"),
        ({"head": None}, "forged"),
    ]
    for change, expected in changes:
        signed_path(case).write_text(json.dumps({**line, **change}))
        assert states(case, public)[0] in expected.split(), change
    for junk in (b"[]", b"{}", b"\xff", b"null"):
        signed_path(case).write_bytes(junk)
        assert states(case, public) == ["unreadable"]


def test_only_a_whole_journal_is_signed(case: Path, tmp_path: Path) -> None:
    new_key(tmp_path / "mine")
    case.write_bytes(case.read_bytes().replace(b"words 2", b"words 5"))
    with pytest.raises(JournalError, match="is not whole"):
        sign(check(case.read_bytes()), case, tmp_path / "mine")
    assert not signed_path(case).exists()


def test_a_key_is_never_overwritten_and_a_wrong_one_is_named(case: Path, tmp_path: Path) -> None:
    new_key(tmp_path / "mine")
    before = (tmp_path / "mine").read_bytes()
    with pytest.raises(JournalError, match="cannot be made"):
        new_key(tmp_path / "mine")
    assert (tmp_path / "mine").read_bytes() == before
    for bad in (tmp_path / "none", tmp_path / "mine.pub", case):
        with pytest.raises(JournalError, match="is not a key made by"):
            sign(check(case.read_bytes()), case, bad)
    with pytest.raises(JournalError, match="neither a public key"):
        public_key(str(tmp_path / "none"))
    with pytest.raises(JournalError, match="holds no public key"):
        (tmp_path / "text").write_text("hello")
        public_key(str(tmp_path / "text"))
