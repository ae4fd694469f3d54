"""With `--strict-skips`, and always where CI is set, a skipped test is a failed one.

A check that quietly does not run looks like one that passed. What may be left out is listed here,
by the reason that its mark gives.
"""

import os
from collections.abc import Generator

import pytest

MAY_SKIP = {
    "root may read everything": "The checks run as root, whom no file mode keeps out.",
}


def pytest_addoption(parser: pytest.Parser) -> None:
    """Ask for it where CI is not set."""
    parser.addoption(
        "--strict-skips",
        action="store_true",
        default=bool(os.environ.get("CI")),
        help="fail what is skipped for a reason that tests/skips.py does not list",
    )


def refused(reason: str) -> str | None:
    """Why a skip with this reason fails the run; None where it is listed."""
    if reason.removeprefix("Skipped: ") in MAY_SKIP:
        return None
    return f"Nothing may be left out here, and this was: {reason}"


def _judge(report: pytest.TestReport | pytest.CollectReport) -> None:
    if report.outcome != "skipped" or hasattr(report, "wasxfail"):
        return
    reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
    if says := refused(reason):
        report.outcome, report.longrepr = "failed", says


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item,
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Turn a skip into a failure."""
    report = yield
    if item.config.getoption("strict_skips"):
        _judge(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(
    collector: pytest.Collector,
) -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    """The same for a file that skips itself whole."""
    report = yield
    if collector.config.getoption("strict_skips"):
        _judge(report)
    return report
