"""The only room that knows YAML: reads, checks and shows the rule base."""

from assistant.knowledge.base import Knowledge, fingerprint, load, load_from
from assistant.knowledge.tongue import BASE, languages

__all__ = ["BASE", "Knowledge", "fingerprint", "languages", "load", "load_from"]
