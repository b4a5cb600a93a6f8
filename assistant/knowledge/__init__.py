"""The only room that knows YAML: reads, checks and shows the rule base."""

from assistant.knowledge.base import Knowledge, fingerprint, load, load_from

__all__ = ["Knowledge", "fingerprint", "load", "load_from"]
