"""Sense of the rule base: what it refuses, and which faults nothing tells apart."""

from assistant.lint.check import Report, check_rules
from assistant.lint.gaps import Gap, gaps_of, stale

__all__ = ["Gap", "Report", "check_rules", "gaps_of", "stale"]
