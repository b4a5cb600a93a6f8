"""The few things a journal asks of the disk, each with an error that a person can act on."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import NoReturn

from assistant.errors import JournalBusyError, JournalError
from assistant.journal.lock import try_lock

_FLAGS = os.O_RDWR | os.O_APPEND | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)


def read_bytes(path: str | Path) -> bytes:
    """The bytes of a journal, for looking only.

    Raises:
        JournalError: It cannot be read.
    """
    try:
        return Path(path).read_bytes()
    except OSError as error:
        raise JournalError(f"{path} cannot be read: {_reason(error)}") from error


def open_locked(path: Path, *, create: bool) -> int:
    """Open a plain file to add to it, and lock it.

    Raises:
        JournalError: It cannot be opened, or is no plain file.
        JournalBusyError: Somebody else has the lock.
    """
    try:
        descriptor = os.open(path, _FLAGS | (os.O_CREAT if create else 0), 0o644)
    except OSError as error:
        refuse(path, error)
    try:
        if not stat.S_ISREG(os.fstat(descriptor).st_mode):
            raise JournalError(f"{path} is not a plain file")
        if not try_lock(descriptor):
            raise JournalBusyError(
                f"{path} is in use by another session: two writers cannot both add to one journal. "
                "End the other session, or name another file"
            )
    except OSError as error:
        os.close(descriptor)
        refuse(path, error)
    except JournalError:
        os.close(descriptor)
        raise
    return descriptor


def all_bytes(descriptor: int) -> bytes:
    """All bytes of an open file."""
    os.lseek(descriptor, 0, os.SEEK_SET)
    pieces = []
    while piece := os.read(descriptor, 1 << 20):
        pieces.append(piece)
    return b"".join(pieces)


def write_all(descriptor: int, data: bytes) -> None:
    """Write every byte; the system may take fewer at a time."""
    view = memoryview(data)
    while view:
        view = view[os.write(descriptor, view) :]


def keep_aside(path: Path, rest: bytes) -> Path:
    """Keep bytes in a new file beside a journal, synced; nothing is ever overwritten."""
    number = 1
    while True:
        aside = path.with_name(f"{path.name}.aside-{number}")
        try:
            descriptor = os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o644)
            break
        except FileExistsError:
            number += 1
    try:
        write_all(descriptor, rest)
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
    sync_folder(path)
    return aside


def sync_folder(path: Path) -> None:
    """Make the name of a new file last; where a folder cannot be synced, the file itself still is."""
    try:
        descriptor = os.open(path.parent, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(descriptor)
    except OSError:
        return
    finally:
        os.close(descriptor)


def refuse(path: Path, error: OSError) -> NoReturn:
    """Turn an error of the disk into one for the person."""
    raise JournalError(f"{path} cannot be written: {_reason(error)}. Nothing was recorded") from error


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()
