"""Long work beside the site: a thread each, one of a kind at a time, its progress and its result in a file.

A file in the data folder outlives a restart and is read by whichever process answers. It tells what was asked, so that
the result can be had again. The work reads nothing of the register: what it needs is given to it beforehand.
"""

import json
import os
import re
import secrets
import socket
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from django.conf import settings
from django.utils import timezone

RUNNING, DONE, CANCELLED, STOPPED, FAILED = "running", "done", "cancelled", "stopped", "failed"
# A run that gave no sign of life for so long ended with the site, even where its process cannot be looked for.
SILENT = timedelta(seconds=120)
# This process among those that bear its number one after the other, as in a container that is started again.
_HERE = secrets.token_hex(4)
# Older ones and more of a kind are not kept: what came of them is in the register, or can be computed again.
KEPT, KEPT_FOR = 50, timedelta(days=90)
_TOKEN = re.compile(r"\d{8}-\d{6}-[0-9a-f]{8}")
_starting = threading.Lock()

Run = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of long work: the folder of its files below `exports/`, and what is said while another one runs."""

    folder: str
    busy: str


class Busy(RuntimeError):
    """Another run of the kind is going on."""


class Cancelled(Exception):
    """A person asked the run to stop, and nothing of it is to be kept."""


class Sign:
    """How the work shows that it goes on, and hears that it is to stop."""

    def __init__(self, kind: Kind, run: Run) -> None:
        self.kind, self.run = kind, run
        self._written = timezone.now() - timedelta(seconds=1)  # the first sign is written at once

    def tell(self, **progress: Any) -> None:
        """Note how far the work is; written once a second at most."""
        self.run |= progress
        if timezone.now() - self._written > timedelta(seconds=1):
            _write(self.kind, self.run)
            self._written = timezone.now()

    def cancelled(self) -> bool:
        """Return whether a person asked for an end."""
        return _wish(self.kind, self.run["token"]).exists()


# Takes the sign and returns what is kept beside what was asked; raises Cancelled where a cancel leaves nothing.
Work = Callable[[Sign], Run]


def start(kind: Kind, told: Run, work: Work) -> str:
    """Start a run and return its token. `told` is kept beside the result: what was asked, by whom, progress at first.

    Raises
    ------
    Busy
        One of the kind runs already.
    """
    with _starting:
        if any(run["state"] == RUNNING for run in recent(kind)):
            raise Busy(kind.busy)
        _clear_away(kind)
        now = timezone.now()
        token = f"{now:%Y%m%d-%H%M%S}-{secrets.token_hex(4)}"
        run = told | {"token": token, "state": RUNNING, "started": _at(now), "process": _process()}
        _write(kind, run)
    name = f"{kind.folder} {token}"
    threading.Thread(target=_do, args=(Sign(kind, run), work), daemon=True, name=name).start()
    return token


def read(kind: Kind, token: str) -> Run | None:
    """Return a run as it stands; None if there is none of that token."""
    if not _TOKEN.fullmatch(token):
        return None
    try:
        run: Run = json.loads(_file(kind, token).read_text(encoding="utf-8"))
    except FileNotFoundError:
        return None
    run["started"] = datetime.fromisoformat(run["started"])
    silent = timezone.now() - datetime.fromisoformat(run["seen"]) > SILENT
    over = run["state"] == RUNNING and (silent or _gone(run.get("process", {})))
    return run | {"state": STOPPED} if over else run


def recent(kind: Kind, **about: Any) -> Iterator[Run]:
    """Yield the runs, the newest first; those that were told so where `about` names it (`stock="…"`)."""
    for name in _tokens(kind):
        run = read(kind, name)
        if run and all(run.get(key) == value for key, value in about.items()):
            yield run


def cancel(kind: Kind, token: str) -> None:
    """Ask a run to stop; it does so when its work next asks."""
    run = read(kind, token)
    if run and run["state"] == RUNNING:
        _wish(kind, token).touch()


def _do(sign: Sign, work: Work) -> None:
    run = sign.run
    try:
        found = work(sign)
        _write(sign.kind, run | {"state": DONE, "cut": sign.cancelled(), "ended": _at(timezone.now())} | found)
    except Cancelled:
        _write(sign.kind, run | {"state": CANCELLED, "ended": _at(timezone.now())})
    except Exception as error:
        _write(sign.kind, run | {"state": FAILED, "ended": _at(timezone.now()), "why": str(error)})
        raise
    finally:
        _wish(sign.kind, run["token"]).unlink(missing_ok=True)


def _process() -> Run:
    return {"host": socket.gethostname(), "number": os.getpid(), "name": _HERE}


def _gone(process: Run) -> bool:
    """Return whether the process of a run is known to have ended; False where that cannot be told from here."""
    if os.name != "posix" or process.get("host") != socket.gethostname():
        return False
    if process["number"] == os.getpid():
        return bool(process["name"] != _HERE)
    try:
        os.kill(process["number"], 0)  # asks only whether it is there
    except ProcessLookupError:
        return True
    except PermissionError:
        return False
    return False


def _clear_away(kind: Kind) -> None:
    oldest = f"{timezone.now() - KEPT_FOR:%Y%m%d}"
    for place, token in enumerate(_tokens(kind), start=1):
        if place >= KEPT or token < oldest:
            _file(kind, token).unlink(missing_ok=True)


def _tokens(kind: Kind) -> list[str]:
    return sorted((path.stem for path in _folder(kind).glob("*.json")), reverse=True)


def _write(kind: Kind, run: Run) -> None:
    """Write a run whole or not at all."""
    target = _file(kind, run["token"])
    half = target.with_suffix(".half")
    text = json.dumps(run | {"seen": _at(timezone.now())}, ensure_ascii=False, indent=1)
    half.write_text(text, encoding="utf-8")
    os.replace(half, target)


def _at(moment: datetime) -> str:
    return moment.isoformat(timespec="seconds")


def _folder(kind: Kind) -> Path:
    folder = Path(settings.DATA) / "exports" / kind.folder
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def _file(kind: Kind, token: str) -> Path:
    return _folder(kind) / f"{token}.json"


def _wish(kind: Kind, token: str) -> Path:
    return _folder(kind) / f"{token}.cancel"
