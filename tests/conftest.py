"""What every test shares: with SPRINGLINE_NO_SKIP=1 a test skipped for the want of a program or package fails."""

from __future__ import annotations

import os
from collections.abc import Generator
from typing import Any

import pytest

_MAY_BE_ABSENT = ("beside", "no permission here")
"""Reasons that no installation cures: a folder beside the checkout, a right that the machine does not give."""


def _forbid_skip(report: pytest.TestReport | pytest.CollectReport) -> None:
    if os.environ.get("SPRINGLINE_NO_SKIP") != "1" or report.outcome != "skipped" or hasattr(report, "wasxfail"):
        return
    reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
    if not any(words in reason for words in _MAY_BE_ABSENT):
        report.outcome = "failed"
        report.longrepr = f"skipped, and nothing may be skipped here: {reason}"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, Any, Any]:
    """A forbidden skip of one test is a failure."""
    report = yield
    _forbid_skip(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, Any, Any]:
    """A forbidden skip of a whole file is a failure too."""
    report = yield
    _forbid_skip(report)
    return report
