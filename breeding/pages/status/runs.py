"""Projections that run beside the site: a thread each, one at a time, its progress and result in a file.

A file in the data folder outlives a restart and is read by whichever process answers. It tells what was asked, the
seed, the state of the pedigree and the method, so that the result can be had again.
"""

import json
import os
import re
import secrets
import threading
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from django.conf import settings
from django.utils import timezone

from breeding.planning.projection.question import Question
from breeding.planning.projection.run import project

RUNNING, DONE, CANCELLED, STOPPED, FAILED = "running", "done", "cancelled", "stopped", "failed"
# A run that gave no sign of life for so long ended with the site.
SILENT = timedelta(seconds=120)
_TOKEN = re.compile(r"\d{8}-\d{6}-[0-9a-f]{8}")
_starting = threading.Lock()

Run = dict[str, Any]


class Busy(RuntimeError):
    """Another projection is running."""


class _Cancelled(Exception):
    """A person asked the run to stop."""


def start(question: Question, told: Run) -> str:
    """Start a projection and return its token. `told` is kept beside the result: stock, what was asked, by whom.

    Raises
    ------
    Busy
        One runs already.
    """
    with _starting:
        if any(run["state"] == RUNNING for run in recent()):
            raise Busy("A projection is running. Wait until it is done, or cancel it.")
        now = timezone.now()
        token = f"{now:%Y%m%d-%H%M%S}-{secrets.token_hex(4)}"
        run = told | {"token": token, "state": RUNNING, "done": 0, "of": question.replicates, "started": _at(now)}
        _write(run)
    threading.Thread(target=_work, args=(question, run), daemon=True, name=f"projection {token}").start()
    return token


def read(token: str) -> Run | None:
    """Return a run as it stands; None if there is none of that token."""
    if not _TOKEN.fullmatch(token):
        return None
    try:
        run: Run = json.loads(_file(token).read_text(encoding="utf-8"))
    except FileNotFoundError:
        return None
    run["started"] = datetime.fromisoformat(run["started"])
    silent = timezone.now() - datetime.fromisoformat(run["seen"]) > SILENT
    return run | {"state": STOPPED} if run["state"] == RUNNING and silent else run


def recent(stock: str = "") -> list[Run]:
    """Return the runs, the newest first; of one stock where it is named."""
    return [run for run in _all() if not stock or run["stock"] == stock]


def cancel(token: str) -> None:
    """Ask a run to stop; it does so after the replicate at hand."""
    run = read(token)
    if run and run["state"] == RUNNING:
        _wish(token).touch()


def _all() -> Iterator[Run]:
    names = sorted((path.stem for path in _folder().glob("*.json")), reverse=True)
    for name in names:
        if run := read(name):
            yield run


def _work(question: Question, run: Run) -> None:
    seen = timezone.now()

    def tick() -> None:
        nonlocal seen
        if _wish(run["token"]).exists():
            raise _Cancelled
        if timezone.now() - seen > timedelta(seconds=1):
            _write(run)
            seen = timezone.now()
        run["done"] += 1

    try:
        found = project(question, tick)
        outcomes = {way: {name: band._asdict() for name, band in each._asdict().items()} for way, each in found.items()}
        _write(run | {"state": DONE, "ended": _at(timezone.now()), "outcomes": outcomes})
    except _Cancelled:
        _write(run | {"state": CANCELLED, "ended": _at(timezone.now())})
    except Exception as error:
        _write(run | {"state": FAILED, "ended": _at(timezone.now()), "why": str(error)})
        raise
    finally:
        _wish(run["token"]).unlink(missing_ok=True)


def _write(run: Run) -> None:
    """Write a run whole or not at all."""
    target = _file(run["token"])
    half = target.with_suffix(".half")
    text = json.dumps(run | {"seen": _at(timezone.now())}, ensure_ascii=False, indent=1)
    half.write_text(text, encoding="utf-8")
    os.replace(half, target)


def _at(moment: datetime) -> str:
    return moment.isoformat(timespec="seconds")


def _folder() -> Path:
    folder = Path(settings.DATA) / "exports" / "projections"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def _file(token: str) -> Path:
    return _folder() / f"{token}.json"


def _wish(token: str) -> Path:
    return _folder() / f"{token}.cancel"
