"""The only room that knows durable_rules: named answers in, conclusions with their reasons out."""

from assistant.engine.engine import Conclusion, Engine

__all__ = ["Conclusion", "Engine"]
