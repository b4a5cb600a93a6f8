"""Lets the tests of this folder import the sample case of the journal's tests."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "journal"))
sys.path.insert(0, str(Path(__file__).parent))
