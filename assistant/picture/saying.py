"""Figures and words of the picture, safe to be shown anywhere."""

from __future__ import annotations

import math

from assistant.journal.shown import visible
from assistant.picture.picture import Picture, Stretch, picture_data

STEPS = (1.0, 2.0, 5.0)


def clean(text: str) -> str:
    """The text on one line, with everything that a screen could obey written out."""
    return " ".join(visible(text).split())


def volts(value: float) -> str:
    """A voltage across a point."""
    return f"{value:.2f} V"


def loss_text(value: float) -> str:
    """A loss: in mV below a tenth of a volt."""
    return f"{value * 1000:.0f} mV" if abs(value) < 0.0995 else f"{value:.2f} V"


def step_text(value: float) -> str:
    """A round voltage of the scale."""
    return f"{value * 1000:g} mV" if value < 1 else f"{value:g} V"


def round_step(least: float) -> float:
    """The smallest of 1, 2, 5, 10 … (and their tenths) that is not below `least`, V."""
    if least <= 0:
        return 0.001
    power = 10.0 ** math.floor(math.log10(least))
    return next(s * power for s in (*STEPS, 10.0) if s * power >= least * (1 - 1e-9))


def motor_text(picture: Picture) -> str:
    """The motor with its current."""
    words = picture_data()["words"]
    if picture.current is None:
        return str(words["motor_unread"])
    key = "motor" if picture.current_from == "read" else "motor_assumed"
    return str(words[key]).format(current=f"{picture.current:.3g}")


def verdict_text(item: Stretch) -> str:
    """How much of a loss is too much, where that is shown; else nothing."""
    if item.verdict != "too_much":
        return ""
    return str(picture_data()["words"]["too_much_here"]).format(excess=loss_text(item.over))


def wanted_text(picture: Picture) -> str:
    """Which readings would tell more; empty when none would."""
    if not picture.missing:
        return ""
    return str(picture_data()["words"]["read_next"]).format(list="; ".join(picture.missing))
