"""The journal on disk: create, append, and open again after an end or a crash.

An entry counts as kept once `append` has returned: it was written, flushed and synced. A file is only ever
added to; what a crash left behind the last good entry is moved aside before the next entry is written.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from types import TracebackType
from typing import Any

from assistant.errors import JournalError
from assistant.journal.chain import START, Sealed, seal_entry, take_apart
from assistant.journal.disk import all_bytes, keep_aside, open_locked, refuse, sync_folder, write_all
from assistant.journal.verify import Checked, check


class Journal:
    """An open journal that this process alone may add to."""

    def __init__(self, path: Path, descriptor: int) -> None:
        """Use `create` or `open`."""
        self.path = path
        self.head = START
        self.entries = 0
        self.notes: tuple[str, ...] = ()
        """What had to be put right when it was opened, in sentences for the person."""
        self._descriptor: int | None = descriptor
        self._unfit = ""
        self._size = 0

    @classmethod
    def create(cls, path: str | Path, header: Mapping[str, Any]) -> Journal:
        """Begin a new journal.

        A file that is there already is never overwritten; one that is empty, or holds no more than the
        half-written first line of a start that crashed, is begun again.

        Raises:
            JournalError: The file holds a journal or something else, is in use, or cannot be written.
        """
        path = Path(path)
        journal = cls(path, open_locked(path, create=True))
        try:
            data = journal._read()
            if data and not _is_crashed_start(data):
                raise JournalError(
                    f"{path} is there already: continue it with 'springline resume', or name another file"
                )
            if data:
                journal._move_aside(data, 0)
            journal.append(header)
            sync_folder(path)
        except BaseException:
            journal.close()
            raise
        return journal

    @classmethod
    def open(cls, path: str | Path) -> tuple[Journal, Checked]:
        """Open a journal to go on with it, and give what it holds.

        What a crash left behind the last good entry is moved aside into a file beside it; `notes` says so.

        Raises:
            JournalError: The file is missing, in use, altered, or cannot be written.
        """
        path = Path(path)
        journal = cls(path, open_locked(path, create=False))
        try:
            checked = journal._put_right()
        except BaseException:
            journal.close()
            raise
        return journal, checked

    def append(self, entry: Mapping[str, Any]) -> str:
        """Seal, write and sync one entry; return the new head.

        Raises:
            JournalError: It could not be kept. The file then ends where it ended before.
        """
        sealed = seal_entry(self.head, entry)
        self._write(sealed)
        self.head = sealed.seal
        self.entries += 1
        return self.head

    def close(self) -> None:
        """Close the file and let go of the lock."""
        if self._descriptor is not None:
            os.close(self._descriptor)
            self._descriptor = None

    def __enter__(self) -> Journal:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @property
    def _open_file(self) -> int:
        if self._descriptor is None:
            raise JournalError(self._unfit or f"{self.path} is closed")
        return self._descriptor

    def _read(self) -> bytes:
        return all_bytes(self._open_file)

    def _write(self, sealed: Sealed) -> None:
        descriptor = self._open_file
        self._untouched(descriptor)
        try:
            write_all(descriptor, sealed.line)
            os.fsync(descriptor)
        except BaseException as error:
            self._take_back(descriptor)
            if isinstance(error, OSError):
                refuse(self.path, error)
            raise
        self._size += len(sealed.line)

    def _untouched(self, descriptor: int) -> None:
        state = os.fstat(descriptor)
        if state.st_nlink == 0:
            raise JournalError(f"{self.path} was removed while it was in use: nothing more can be recorded")
        if state.st_size != self._size:
            raise JournalError(f"{self.path} was changed by something else while it was in use")

    def _take_back(self, descriptor: int) -> None:
        """Cut off what a failed write left, so that the file ends with a whole entry again."""
        try:
            os.ftruncate(descriptor, self._size)
            os.fsync(descriptor)
        except OSError:
            self._unfit = (
                f"{self.path} could not be brought back to its last whole entry: end this session, see to "
                "the disk, and go on with 'springline resume'"
            )
            self.close()

    def _put_right(self) -> Checked:
        data = self._read()
        notes: list[str] = []
        if data and not data.endswith(b"\n") and _is_whole(data):
            self._add_line_end()
            data += b"\n"
            notes.append("The last entry was whole but for its line end, which was added.")
        checked = check(data)
        if checked.good_entries == 0:
            raise JournalError(f"{self.path} holds no case to go on with: {_first_problem(checked)}")
        rest = data[checked.good_bytes :]
        if checked.problems:
            _refuse_altered(self.path, checked, rest)
            aside = self._move_aside(rest, checked.good_bytes)
            notes.append(
                f"{self.path.name} is damaged after line {checked.good_entries}, as by a crash. "
                f"The {len(rest)} bytes behind it are kept in {aside.name}; the case goes on from there."
            )
            checked = check(data[: checked.good_bytes])
        self.notes, self.head = tuple(notes), checked.head
        self.entries, self._size = checked.good_entries, checked.good_bytes
        return checked

    def _add_line_end(self) -> None:
        try:
            write_all(self._open_file, b"\n")
            os.fsync(self._open_file)
        except OSError as error:
            refuse(self.path, error)

    def _move_aside(self, rest: bytes, keep: int) -> Path:
        try:
            aside = keep_aside(self.path, rest)
            os.ftruncate(self._open_file, keep)
            os.fsync(self._open_file)
        except OSError as error:
            refuse(self.path, error)
        return aside


def _is_crashed_start(data: bytes) -> bool:
    return b"\n" not in data and b'{"after":"'.startswith(data[:10]) and len(data) < 4096


def _is_whole(data: bytes) -> bool:
    parts = take_apart(data.rpartition(b"\n")[2])
    return parts is not None and parts.right


def _refuse_altered(path: Path, checked: Checked, rest: bytes) -> None:
    """A crash leaves no whole entries behind the damage: where there are some, somebody changed the file."""
    later = rest.split(b"\n")
    if any((parts := take_apart(line)) is not None and parts.right for line in later):
        raise JournalError(
            f"{path} was altered, not merely cut short by a crash: {_first_problem(checked)}. Nothing was "
            f"changed; 'springline audit' tells more. A copy cut after line {checked.good_entries} can go on"
        )


def _first_problem(checked: Checked) -> str:
    first = checked.problems[0]
    return f"line {first.line}: {first.text}"
