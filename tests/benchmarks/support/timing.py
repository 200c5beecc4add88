"""Times requests, a page and its plain equal in turn, so that both meet the same machine."""

import logging
import statistics
import time
from collections.abc import Iterable
from dataclasses import dataclass

from django.contrib.auth import get_user_model
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from tests.benchmarks.support.site import Page

logging.disable(logging.ERROR)  # a page that answers otherwise than expected stands in the table
WARM = 2


@dataclass(frozen=True, slots=True)
class Timed:
    """Medians in milliseconds, and the queries of one request; `status` other than 200 tells of a fault."""

    page: Page
    status: int
    page_ms: float
    plain_ms: float | None
    queries: int
    plain_queries: int
    slowest: str = ""

    @property
    def ratio(self) -> float | None:
        """Return how many times as long the page takes as the plain one."""
        return self.page_ms / self.plain_ms if self.plain_ms else None


def client_of(role: str) -> Client:
    """Return a signed-in browser of the demo's account of that role."""
    client = Client(SERVER_NAME="127.0.0.1")
    client.force_login(get_user_model().objects.get(username=role))
    return client


def timed(page: Page, requests: int) -> Timed:
    """Ask for the page and its plain equal in turn."""
    client = client_of(page.role)
    asked = [target for target in (page.address, page.plain) if target]
    taken: dict[str, list[float]] = {target: [] for target in asked}
    status = 0
    for n in range(WARM + requests):
        for target in asked:
            started = time.perf_counter()
            response = client.get(target)
            _ = response.content
            if n >= WARM:
                taken[target].append(1000 * (time.perf_counter() - started))
            status = response.status_code if target == page.address else status
    middle = {target: statistics.median(times) for target, times in taken.items()}
    seen = queries_of(client, page.address)
    plain = queries_of(client, page.plain) if page.plain else []
    slowest = max(seen, key=lambda one: float(one["time"]), default={"time": "0", "sql": ""})
    worst = f"{1000 * float(slowest['time']):.0f} ms {slowest['sql']}"
    return Timed(page, status, middle[page.address], middle.get(page.plain), len(seen), len(plain), worst)


def queries_of(client: Client, target: str) -> list[dict[str, str]]:
    """Return the statements of one request with their times."""
    with CaptureQueriesContext(connection) as captured:
        _ = client.get(target).content
    return list(captured.captured_queries)


def lines(found: Iterable[Timed], limit: float) -> Iterable[str]:
    """Yield a line for each page, and a mark where it is over the limit."""
    yield f"{'page':26} {'page ms':>9} {'plain ms':>9} {'ratio':>6} {'queries':>8}"
    for one in found:
        plain = f"{one.plain_ms:9.1f}" if one.plain_ms else "        –"
        ratio = f"{one.ratio:6.2f}" if one.ratio else "     –"
        over = "  OVER" if one.ratio and one.ratio > limit else ""
        wrong = f"  ANSWERED {one.status}" if one.status not in (200, 302) else ""
        asked = f"{one.queries:4}/{one.plain_queries:<3}"
        yield f"{one.page.name:26} {one.page_ms:9.1f} {plain} {ratio} {asked}{over}{wrong}"
