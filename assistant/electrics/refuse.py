"""Refusals of input that cannot be true, each as one clear sentence."""

from __future__ import annotations

import math


def positive(value: float, what: str) -> float:
    """Return the value, or refuse one that is not above zero."""
    if not math.isfinite(value) or value <= 0:
        raise ValueError(f"{what} must be above zero, not {value:g}.")
    return value


def not_negative(value: float, what: str) -> float:
    """Return the value, or refuse one below zero."""
    if not math.isfinite(value) or value < 0:
        raise ValueError(f"{what} cannot be negative, and {value:g} is.")
    return value


def finite(value: float, what: str) -> float:
    """Return the value, or refuse what is no number."""
    if not math.isfinite(value):
        raise ValueError(f"{what} must be a number.")
    return value


def between(value: float, low: float, high: float, what: str) -> float:
    """Return the value, or refuse one outside the two limits (which are allowed)."""
    if not low <= value <= high:
        raise ValueError(f"{what} must lie between {low:g} and {high:g}, not {value:g}.")
    return value
