"""The one object behind every front end: a line in, a turn out."""

from assistant.session.session import Session

__all__ = ["Session"]
