"""The typed facts, their units and their scenes."""

from assistant.facts.model import Fact, RawFact, Value

__all__ = ["Fact", "RawFact", "Value"]
