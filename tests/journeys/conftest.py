"""The demo as a newcomer starts it, a real browser, and a watch on what no page may do."""

import os
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.db.backends.sqlite3.base import Database
from playwright.sync_api import Browser, Page, sync_playwright

from registry.demo.accounts import PASSWORDS
from tests.journeys.watch import Watch
from tests.support.sources import ROOT

# The browser is to fetch nothing of its own accord.
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-domain-reliability",
    "--disable-sync",
    "--metrics-recording-only",
    "--no-first-run",
)
TABLET = {"width": 800, "height": 1100}
START_S = 60
Open = Callable[..., Page]


@pytest.fixture(scope="session")
def site(chromium: str, django_db_setup: None, django_db_blocker: Any) -> Iterator[str]:
    """Build the demo in a folder of its own, serve it as the README does, and return its address.

    The folder cannot be made a second time: if this fails, two workers are at the journeys (tests/support/spread.py).
    """
    folder = Path(os.environ["SCUTE_DATA"], "journeys")
    folder.mkdir()
    with django_db_blocker.unblock():
        _lay_tables(folder)
    environment = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    environment |= {"SCUTE_DATA": str(folder)}
    address = f"127.0.0.1:{_free_port()}"
    build = [sys.executable, "manage.py", "demo", "--no-serve"]
    subprocess.run(build, cwd=ROOT, env=environment, check=True, capture_output=True)
    serve = [sys.executable, "manage.py", "serve", "--bind", address]
    with (folder / "serve.log").open("w") as log:
        running = subprocess.Popen(serve, cwd=ROOT, env=environment, stdout=log, stderr=log)
        try:
            _wait_for(address, running, folder / "serve.log")
            yield f"http://{address}"
        finally:
            running.terminate()
            running.wait(timeout=30)


@pytest.fixture(scope="module")
def browser(chromium: str) -> Iterator[Browser]:
    """Start a browser for the tests of one file; longer, and its event loop would be in other tests' way."""
    with sync_playwright() as tools:
        started = tools.chromium.launch(executable_path=chromium, args=list(QUIET))
        yield started
        started.close()


@pytest.fixture
def sign_in(site: str, browser: Browser) -> Iterator[Open]:
    """Return a function that opens a watched browser window and signs in the demo's person of a role by keyboard."""
    windows = []

    def opened(role: str, **options: Any) -> Page:
        context = browser.new_context(base_url=site, viewport=TABLET, **options)
        page = context.new_page()
        windows.append((context, Watch(page, site)))
        page.goto("/")
        page.keyboard.press("Tab")
        page.get_by_label("Account name").focus()
        page.keyboard.type(role)
        page.keyboard.press("Tab")
        page.keyboard.type(PASSWORDS[role])
        page.keyboard.press("Enter")
        page.get_by_label("Scan or search").wait_for()
        return page

    yield opened
    faults = [fault for _, watch in windows for fault in watch.faults]
    for context, _ in windows:
        context.close()
    assert faults == []


def _lay_tables(folder: Path) -> None:
    """Take over the tables of the tests' own database, still empty, which were a while in the making."""
    if connection.vendor == "sqlite":
        connection.ensure_connection()
        with closing(Database.connect(folder / "register.sqlite3")) as register:
            connection.connection.backup(register)


def _free_port() -> int:
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        port: int = held.getsockname()[1]
        return port


def _wait_for(address: str, running: subprocess.Popen[bytes], log: Path) -> None:
    host, port = address.split(":")
    until = time.monotonic() + START_S
    while time.monotonic() < until and running.poll() is None:
        try:
            socket.create_connection((host, int(port)), timeout=1).close()
        except OSError:
            time.sleep(0.2)
        else:
            return
    pytest.fail(f"The site did not start: {log.read_text()}")
