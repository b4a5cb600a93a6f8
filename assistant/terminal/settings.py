"""The person's own settings, in the platform's usual place; the program works without them."""

from __future__ import annotations

import json
import traceback
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import Self

import platformdirs


def settings_file() -> Path:
    """Return where the settings are kept."""
    return Path(platformdirs.user_config_path("springline", appauthor=False)) / "settings.json"


def case_folder() -> Path:
    """Return the folder in which cases are kept."""
    return Path(platformdirs.user_data_path("springline", appauthor=False)) / "cases"


def error_file() -> Path:
    """Return where the details of a failure of the program are written."""
    return Path(platformdirs.user_log_path("springline", appauthor=False)) / "failure.txt"


def keep_failure(error: BaseException) -> str:
    """Write what a failure of the program was to a file, and return a sentence that names it.

    The sentence is empty when the place cannot be written.
    """
    place = error_file()
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text("".join(traceback.format_exception(error)), encoding="utf-8")
    except OSError:
        return ""
    return f" Details for whoever mends it: {place}"


@dataclass(frozen=True)
class Settings:
    """What is remembered between sessions."""

    theme: str = "night"
    language: str = ""
    """In which new cases are held, when one was chosen; never taken from what the machine is set to."""
    priors: str = ""
    """A file of a fleet's own counts, by which new cases begin; none when empty."""

    @property
    def priors_file(self) -> Path | None:
        """The file of counts, if one is named."""
        return Path(self.priors) if self.priors else None

    @classmethod
    def load(cls, path: Path | None = None) -> Self:
        """Return the saved settings; those that cannot be read are left at their usual values."""
        try:
            found = json.loads((path or settings_file()).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return cls()
        told = found if isinstance(found, dict) else {}
        return cls(**{f.name: told[f.name] for f in fields(cls) if isinstance(told.get(f.name), str)})

    def save(self, path: Path | None = None) -> None:
        """Save the settings; where the place cannot be written they last for this session only."""
        place = path or settings_file()
        try:
            place.parent.mkdir(parents=True, exist_ok=True)
            place.write_text(json.dumps(asdict(self)) + "\n", encoding="utf-8")
        except OSError:
            return
