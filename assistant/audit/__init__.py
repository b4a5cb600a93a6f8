"""Judging a record from outside: run again, compared, and read for what was left out."""
