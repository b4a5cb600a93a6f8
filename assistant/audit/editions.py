"""The rule base of the day, kept beside the journals that were recorded with it.

An edition is one zip file, named after the fingerprint of the rule base that it holds; it is read in place,
and only used when what it holds has that very fingerprint.
"""

from __future__ import annotations

import os
import zipfile
import zlib
from collections.abc import Iterable
from importlib.resources.abc import Traversable
from pathlib import Path

from assistant.errors import JournalError
from assistant.knowledge.base import fingerprint, rule_files

_WHEN = (1980, 1, 1, 0, 0, 0)
"""The same rules give the same bytes: no time of the machine goes into an edition."""


def edition_path(folder: Path, rules: str) -> Path:
    """Where the edition with a fingerprint stands in a folder."""
    return folder / f"rules-{rules[:16]}.zip"


def keep_edition(folder: Path, rules: Traversable | None = None, language: str | None = None) -> Path:
    """Keep a rule base in a folder, where it is not kept already.

    Args:
        folder: The folder of the journals.
        rules: The folder of the rule base; that of the program by default.
        language: The language of the cases; those that they do not use are not kept. None keeps all.

    Raises:
        JournalError: The folder cannot be written.
    """
    path = edition_path(folder, fingerprint(rules, language))
    if path.exists():
        return path
    half = path.with_name(f"{path.name}.{os.getpid()}")
    try:
        with zipfile.ZipFile(half, "w", zipfile.ZIP_DEFLATED) as archive:
            for name, file in rule_files(rules, language):
                archive.writestr(zipfile.ZipInfo(name, _WHEN), file.read_bytes(), zipfile.ZIP_DEFLATED)
        os.replace(half, path)
    except OSError as error:
        half.unlink(missing_ok=True)
        raise JournalError(f"the rules could not be kept beside the journal: {error}") from error
    return path


def find_edition(rules: str, folders: Iterable[Path]) -> zipfile.Path | None:
    """The kept edition with a fingerprint, from the first folder that has it whole."""
    for folder in folders:
        path = edition_path(folder, rules)
        try:
            held = zipfile.Path(path)
            if fingerprint(held) == rules:
                return held
        except (OSError, zipfile.BadZipFile, zlib.error, EOFError, KeyError, ValueError, NotImplementedError):
            continue
    return None
