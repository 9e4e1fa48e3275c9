"""The programs that some tests need beside Python: found once, and missed out loud."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings

from tests.browser.chromium import find

os.environ["LOOMBOOK_PDF"] = (
    "false"  # no site of a test sets the whole manual again; tests/publish/test_pdf.py does it once
)


settings.register_profile("aboard", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("aboard")  # time is for the benchmark: a busy machine makes no test false


def missing(reason: str) -> None:
    """On a developer's machine the tests that need the program are skipped; where a change is judged they fail."""
    if os.environ.get("CI", "").lower() in ("1", "true", "yes"):
        pytest.fail(reason)
    pytest.skip(reason)


@pytest.fixture(scope="session")
def ngspice() -> str:
    """Path of the ngspice program."""
    found = shutil.which("ngspice")
    if not found:
        missing("ngspice is not installed, so the network was not solved a second time")
    return found


@pytest.fixture(scope="session")
def chromium() -> Iterator:
    """A Chromium, as Playwright's `Browser`."""
    from playwright.sync_api import sync_playwright

    found = find()
    if not found:
        missing("no Chromium was found, so nothing was tried in a browser (set LOOMBOOK_CHROMIUM to one)")
    with sync_playwright() as session:
        browser = session.chromium.launch(executable_path=found, args=["--no-sandbox", "--disable-dev-shm-usage"])
        yield browser
        browser.close()
