"""Sense of the rule base: what it refuses, and which faults nothing tells apart."""

from assistant.lint.check import Report, check_rules

__all__ = ["Report", "check_rules"]
