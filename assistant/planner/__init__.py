"""Which test next, and why."""

from assistant.planner.plan import Asked, Plan, Planner

__all__ = ["Asked", "Plan", "Planner"]
