"""A pytest plugin: where CI is set, a test that skips itself fails.

A skip hides what was not checked. Whoever means to leave tests out says so with `-m` on the command line.
An expected failure (xfail) is not a skip.
"""

import os
from collections.abc import Generator

import pytest


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    if not hasattr(report, "wasxfail"):
        fail_if_skipped(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    report = yield
    fail_if_skipped(report)
    return report


def fail_if_skipped(report: pytest.TestReport | pytest.CollectReport) -> None:
    """Turn a skip into a failure that gives the skip's reason."""
    if not report.skipped or not os.environ.get("CI"):
        return
    reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else report.longrepr
    report.outcome = "failed"
    report.longrepr = f"skipped where nothing may be skipped (CI is set): {reason}"
