"""Writing, locking, crashing and going on: no confirmed entry is lost, and every refusal says why."""

from __future__ import annotations

import errno
import os
import resource
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.errors import JournalError
from assistant.journal import Journal, check, disk

HEADER = {"kind": "case", "format": 1, "program": "0.1.0", "rules": "ab" * 32, "role": "desk"}


def entry(number: int) -> dict[str, object]:
    return {"kind": "turn", "turn": number, "by": "user", "line": {"say": "nothing happens"}, "out": {}}


def written(path: Path, turns: int) -> list[str]:
    with Journal.create(path, HEADER) as journal:
        return [journal.head, *(journal.append(entry(n)) for n in range(1, turns + 1))]


def test_what_append_confirmed_stands_in_the_file(tmp_path: Path) -> None:
    heads = written(tmp_path / "case.jsonl", 3)
    checked = check((tmp_path / "case.jsonl").read_bytes(), head=heads[-1])
    assert [e.seal for e in checked.entries] == heads and checked.problems == ()


def test_an_entry_is_written_and_synced_before_append_returns(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "case.jsonl"
    synced: list[bytes] = []
    real = os.fsync

    def watch(descriptor: int) -> None:
        real(descriptor)
        synced.append(path.read_bytes())

    with Journal.create(path, HEADER) as journal:
        monkeypatch.setattr("assistant.journal.files.os.fsync", watch)
        head = journal.append(entry(1))
        assert check(synced[-1]).head == head


def test_an_opened_journal_goes_on_where_it_ended(tmp_path: Path) -> None:
    path = tmp_path / "case.jsonl"
    heads = written(path, 2)
    journal, checked = Journal.open(path)
    with journal:
        assert journal.notes == () and journal.head == heads[-1]
        assert [e.body for e in checked.entries[1:]] == [entry(1), entry(2)]
        head = journal.append(entry(3))
    assert check(path.read_bytes(), head).problems == ()


def test_an_existing_file_is_never_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "case.jsonl"
    written(path, 1)
    for content in (path.read_bytes(), b"my notes", b"\n", b"{" * 10, b'{"after":"' + b"0" * 5000):
        path.write_bytes(content)
        with pytest.raises(JournalError, match=r"is there already.*resume"):
            Journal.create(path, HEADER)
        assert path.read_bytes() == content


def test_an_empty_file_and_a_crashed_start_are_begun_anew(tmp_path: Path) -> None:
    path = tmp_path / "case.jsonl"
    written(path, 0)
    first = path.read_bytes()
    lengths = [0, 1, 9, 10, 11, *range(12, len(first) - 1, 23), len(first) - 1]
    for length in lengths:
        path.write_bytes(first[:length])
        Journal.create(path, HEADER).close()
        assert path.read_bytes() == first
    asides = sorted(tmp_path.glob("*.aside-*"))
    assert len(asides) == len(lengths) - 1, "nothing that was there is thrown away"


@pytest.mark.parametrize("opening", [lambda p: Journal.create(p, HEADER), Journal.open])
def test_a_second_writer_is_refused_until_the_first_is_done(tmp_path: Path, opening: Callable[[Path], object]) -> None:
    path = tmp_path / "case.jsonl"
    first = Journal.create(path, HEADER)
    with pytest.raises(JournalError, match="in use by another session"):
        opening(path)
    head = first.append(entry(1))
    first.close()
    journal, _ = Journal.open(path)
    assert journal.head == head
    journal.close()


def test_another_process_is_refused_too_and_a_killed_one_leaves_no_lock(tmp_path: Path) -> None:
    path = tmp_path / "case.jsonl"
    script = (
        "import sys\nfrom assistant.journal import Journal\n"
        f"journal = Journal.create(sys.argv[1], {HEADER!r})\nprint('ready', flush=True)\nsys.stdin.read()\n"
    )
    child = subprocess.Popen(
        [sys.executable, "-c", script, str(path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert child.stdout is not None and child.stdout.readline() == "ready\n"
    with pytest.raises(JournalError, match="two writers"):
        Journal.open(path)
    child.kill()
    child.communicate()
    journal, checked = Journal.open(path)
    journal.close()
    assert checked.good_entries == 1


def test_a_crash_at_any_byte_of_the_last_entry_loses_nothing_before_it(tmp_path: Path) -> None:
    path = tmp_path / "case.jsonl"
    heads = written(path, 2)
    whole = path.read_bytes()
    start = whole.rindex(b"\n", 0, -1) + 1
    for length in [*range(start, len(whole) - 1, 11), *range(len(whole) - 3, len(whole) + 1)]:
        path.write_bytes(whole[:length])
        for old in tmp_path.glob("*.aside-*"):
            old.unlink()
        journal, checked = Journal.open(path)
        with journal:
            kept = length >= len(whole) - 1
            assert journal.head == (heads[2] if kept else heads[1])
            assert checked.problems == ()
            half = whole[start:length] if not kept else b""
            assert b"".join(a.read_bytes() for a in tmp_path.glob("*.aside-*")) == half
            assert bool(journal.notes) == (length not in (start, len(whole)))
            head = journal.append(entry(3 if kept else 2))
        assert check(path.read_bytes(), head).problems == ()


@settings(max_examples=60, deadline=None)
@given(junk=st.one_of(st.binary(min_size=1, max_size=300), st.just(b"\0" * 4096), st.just(b"{}\n{}\n")))
def test_junk_behind_the_last_entry_is_moved_aside_byte_for_byte(
    tmp_path_factory: pytest.TempPathFactory, junk: bytes
) -> None:
    folder = tmp_path_factory.mktemp("case")
    path = folder / "case.jsonl"
    heads = written(path, 1)
    good = path.read_bytes()
    path.write_bytes(good + junk)
    journal, _ = Journal.open(path)
    journal.close()
    assert journal.head == heads[-1] and path.read_bytes() == good
    assert (folder / "case.jsonl.aside-1").read_bytes() == junk
    assert "case.jsonl.aside-1" in journal.notes[-1]


def test_an_altered_journal_is_not_mistaken_for_a_crash(tmp_path: Path) -> None:
    path = tmp_path / "case.jsonl"
    written(path, 4)
    altered = path.read_bytes().replace(b'"turn":2', b'"turn":7')
    path.write_bytes(altered)
    with pytest.raises(JournalError, match=r"was altered.*line 3"):
        Journal.open(path)
    assert path.read_bytes() == altered and list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("content", [b"", b"not a journal\n", b'{"after":"00'])
def test_a_file_without_a_case_is_refused_and_left_alone(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "case.jsonl"
    path.write_bytes(content)
    with pytest.raises(JournalError, match="holds no case"):
        Journal.open(path)
    assert path.read_bytes() == content


@pytest.mark.parametrize("missing", ["no/such/folder/case.jsonl", "case.jsonl"])
def test_a_missing_file_is_named(tmp_path: Path, missing: str) -> None:
    with pytest.raises(JournalError, match=r"case\.jsonl cannot be (written|read): no such file"):
        Journal.open(tmp_path / missing)


def test_what_is_no_plain_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(JournalError, match="not a plain file"):
        Journal.create("/dev/null", HEADER)
    with pytest.raises(JournalError, match="cannot be written"):
        Journal.create(tmp_path, HEADER)


@pytest.fixture
def file_size_limit() -> Iterator[Callable[[int], None]]:
    """Let the system itself refuse every write beyond a size, after a partial one, as a full disk does."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    yield lambda size: resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    resource.setrlimit(resource.RLIMIT_FSIZE, before)


def test_a_write_that_fails_half_way_leaves_a_whole_journal_that_can_go_on(
    tmp_path: Path, file_size_limit: Callable[[int], None]
) -> None:
    path = tmp_path / "case.jsonl"
    with Journal.create(path, HEADER) as journal:
        head = journal.append(entry(1))
        before = path.read_bytes()
        for room in (0, 1, 50, 200):
            file_size_limit(len(before) + room)
            with pytest.raises(JournalError, match=r"cannot be written: file too large\. Nothing was recorded"):
                journal.append(entry(2))
            assert path.read_bytes() == before and journal.head == head
        file_size_limit(1_000_000)
        head = journal.append(entry(2))
    assert check(path.read_bytes(), head).problems == ()


def test_a_full_disk_says_so_and_the_journal_goes_on_when_there_is_room(tmp_path: Path) -> None:
    mount = tmp_path / "small"
    mount.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "none", mount], capture_output=True).returncode:
        pytest.skip("no permission here to mount a small disk")
    try:
        path = mount / "case.jsonl"
        with Journal.create(path, HEADER) as journal:
            turns = 0
            with pytest.raises(JournalError, match="no space left on device"):
                while turns < 1000:
                    journal.append({**entry(turns + 1), "fill": "x" * 3000})
                    turns += 1
            assert turns > 5
            assert check(path.read_bytes(), journal.head).problems == ()
            head = journal.append(entry(turns + 1))
        assert check(path.read_bytes(), head).problems == ()
    finally:
        subprocess.run(["umount", mount], check=True)


def test_an_entry_that_cannot_be_synced_is_not_confirmed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "case.jsonl"
    with Journal.create(path, HEADER) as journal:
        before, head = path.read_bytes(), journal.head
        real, failures = os.fsync, [OSError(errno.EIO, "Input/output error")]

        def fail_once(descriptor: int) -> None:
            if failures:
                raise failures.pop()
            real(descriptor)

        monkeypatch.setattr("assistant.journal.files.os.fsync", fail_once)
        with pytest.raises(JournalError, match="input/output error"):
            journal.append(entry(1))
        assert path.read_bytes() == before and journal.head == head
        head = journal.append(entry(1))
    assert check(path.read_bytes(), head).problems == ()


def test_a_journal_that_cannot_be_brought_back_takes_nothing_more_and_is_mended_by_resume(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "case.jsonl"

    def fail(*_: object) -> None:
        raise OSError(errno.EIO, "Input/output error")

    with Journal.create(path, HEADER) as journal:
        head = journal.head
        with monkeypatch.context() as patch:
            patch.setattr("assistant.journal.files.os.fsync", fail)
            patch.setattr("assistant.journal.files.os.ftruncate", fail)
            with pytest.raises(JournalError, match="input/output error"):
                journal.append(entry(1))
        with pytest.raises(JournalError, match="see to the disk, and go on with 'springline resume'"):
            journal.append(entry(1))
    path.write_bytes(path.read_bytes()[:-20])
    journal, _ = Journal.open(path)
    journal.close()
    assert journal.head == head and journal.notes


def test_an_interrupt_in_the_middle_of_a_write_leaves_a_whole_journal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "case.jsonl"
    with Journal.create(path, HEADER) as journal:
        before = path.read_bytes()

        def interrupted(descriptor: int, data: bytes) -> None:
            os.write(descriptor, data[:40])
            raise KeyboardInterrupt

        with monkeypatch.context() as patch:
            patch.setattr("assistant.journal.files.write_all", interrupted)
            with pytest.raises(KeyboardInterrupt):
                journal.append(entry(1))
        assert path.read_bytes() == before
        journal.append(entry(1))


@pytest.mark.parametrize("change", ["removed", "added to"])
def test_a_file_changed_behind_the_back_is_noticed(tmp_path: Path, change: str) -> None:
    path = tmp_path / "case.jsonl"
    with Journal.create(path, HEADER) as journal:
        if change == "removed":
            path.unlink()
        else:
            with path.open("ab") as other:
                other.write(b"something\n")
        with pytest.raises(JournalError, match=r"removed|changed by something else"):
            journal.append(entry(1))


def as_ordinary_user(work: Callable[[], None]) -> str:
    """Run work in a child that is not root (root may write anywhere); the text of its JournalError."""
    reader, writer = os.pipe()
    if os.fork() == 0:
        text = "no error"
        try:
            if os.geteuid() == 0:
                os.setuid(65534)
            work()
        except JournalError as error:
            text = str(error)
        except BaseException as error:
            text = repr(error)
        os.write(writer, text.encode())
        os._exit(0)
    os.close(writer)
    os.wait()
    with os.fdopen(reader) as pipe:
        return pipe.read()


@pytest.mark.filterwarnings("ignore:.*fork.*:DeprecationWarning")
def test_a_read_only_folder_or_file_is_a_clear_refusal(tmp_path_factory: pytest.TempPathFactory) -> None:
    folder = Path("/tmp") / f"springline-read-only-{os.getpid()}"
    folder.mkdir()
    try:
        path = folder / "case.jsonl"
        written(path, 1)
        path.chmod(0o444)
        folder.chmod(0o555)
        told = as_ordinary_user(lambda: Journal.create(folder / "new.jsonl", HEADER).close())
        assert told == f"{folder}/new.jsonl cannot be written: permission denied. Nothing was recorded"
        told = as_ordinary_user(lambda: Journal.open(path)[0].close())
        assert told == f"{path} cannot be written: permission denied. Nothing was recorded"
    finally:
        folder.chmod(0o755)
        for left in folder.iterdir():
            left.unlink()
        folder.rmdir()


def test_what_has_no_canonical_form_is_refused_and_changes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "case.jsonl"
    with Journal.create(path, HEADER) as journal:
        before = path.read_bytes()
        deep: list[object] = []
        for _ in range(3000):
            deep = [deep]
        for bad in ("\ud800", float("nan"), float("inf"), 2**60, deep, b"bytes", {1: 2}):
            with pytest.raises(JournalError, match="cannot be kept"):
                journal.append({**entry(1), "extra": bad})
        assert path.read_bytes() == before


def test_a_closed_journal_takes_nothing(tmp_path: Path) -> None:
    journal = Journal.create(tmp_path / "case.jsonl", HEADER)
    journal.close()
    journal.close()
    with pytest.raises(JournalError, match="is closed"):
        journal.append(entry(1))


def test_reading_never_writes_or_locks(tmp_path: Path) -> None:
    path = tmp_path / "case.jsonl"
    written(path, 1)
    path.write_bytes(path.read_bytes() + b'{"half')
    state = path.stat()
    assert check(disk.read_bytes(path)).problems[0].claim == "unfinished"
    assert path.stat().st_mtime_ns == state.st_mtime_ns and list(tmp_path.iterdir()) == [path]
    with pytest.raises(JournalError, match="cannot be read"):
        disk.read_bytes(tmp_path / "none.jsonl")
