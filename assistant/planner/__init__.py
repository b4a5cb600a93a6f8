"""Which test next, and why."""

from assistant.planner.plan import Planner
from assistant.planner.steps import Asked, Outcome, Plan

__all__ = ["Asked", "Outcome", "Plan", "Planner"]
