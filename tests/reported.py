"""What tests left in their reports, whichever worker ran them."""

from collections.abc import Iterator
from typing import Any

import pytest


def reported(reporter: pytest.TerminalReporter, name: str) -> Iterator[tuple[pytest.TestReport, Any]]:
    """The user properties of this name: the report of a test's teardown, and the value."""
    for reports in reporter.stats.values():
        for report in reports:
            if getattr(report, "when", None) == "teardown":
                yield from ((report, value) for each, value in report.user_properties if each == name)
