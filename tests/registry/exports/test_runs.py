"""Long work beside the site: what it leaves when it ends, is cancelled or fails, and how many are kept."""

import threading
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
import time_machine
from django.conf import settings
from django.utils import timezone

from registry.exports import runs

KIND = runs.Kind("sums", "A sum is running. Wait until it is done.")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Give the runs a data folder of their own, and wait for those that are left."""
    monkeypatch.setattr(settings, "DATA", tmp_path)
    yield tmp_path / "exports" / "sums"
    wait()


def wait() -> None:
    for thread in threading.enumerate():
        if thread.name.startswith("sums "):
            thread.join(10)


def finished(told: runs.Run, work: runs.Work) -> runs.Run:
    token = runs.start(KIND, told, work)
    wait()
    found = runs.read(KIND, token)
    assert found is not None
    return found


def test_what_was_asked_and_what_was_found_are_kept_together() -> None:
    run = finished({"of": "1 + 1"}, lambda _sign: {"sum": 2})

    assert (run["state"], run["of"], run["sum"], run["cut"]) == (runs.DONE, "1 + 1", 2, False)


def test_work_that_is_cancelled_may_keep_its_best(folder: Path) -> None:
    going, asked = threading.Event(), threading.Event()

    def work(sign: runs.Sign) -> runs.Run:
        going.set()
        asked.wait(10)
        return {"best": 7, "heard": sign.cancelled()}

    token = runs.start(KIND, {}, work)
    going.wait(10)
    runs.cancel(KIND, token)
    asked.set()
    wait()

    run = runs.read(KIND, token)
    assert run is not None
    assert (run["state"], run["best"], run["heard"], run["cut"]) == (runs.DONE, 7, True, True)
    assert list(folder.glob("*.cancel")) == []


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_work_that_fails_says_why() -> None:
    def work(_sign: runs.Sign) -> runs.Run:
        raise ValueError("No fish of this stock lives here.")

    run = finished({}, work)

    assert (run["state"], run["why"]) == (runs.FAILED, "No fish of this stock lives here.")


def test_a_second_one_waits_and_its_kind_says_so() -> None:
    go_on = threading.Event()
    runs.start(KIND, {}, lambda _sign: {"waited": go_on.wait(10)})

    with pytest.raises(runs.Busy, match="A sum is running"):
        runs.start(KIND, {}, lambda _sign: {})
    go_on.set()


def test_only_the_newest_fifty_are_kept_and_none_over_ninety_days(folder: Path) -> None:
    now = timezone.now()
    with time_machine.travel(now - timedelta(days=91), tick=False):
        old = finished({}, lambda _sign: {})["token"]
    with time_machine.travel(now - timedelta(days=89), tick=False):
        for _ in range(50):
            finished({}, lambda _sign: {})
    kept = {path.stem for path in folder.glob("*.json")}

    assert old not in kept
    assert len(kept) == 50


def test_one_that_gave_no_sign_for_two_minutes_ended_with_the_site() -> None:
    go_on = threading.Event()
    token = runs.start(KIND, {}, lambda _sign: {"waited": go_on.wait(10)})

    with time_machine.travel(timezone.now() + timedelta(minutes=3)):
        run = runs.read(KIND, token)
    go_on.set()

    assert run is not None
    assert run["state"] == runs.STOPPED


def test_runs_are_found_by_what_they_are_about() -> None:
    for stock in ("Upper", "Lower"):
        finished({"stock": stock}, lambda _sign: {})

    assert [run["stock"] for run in runs.recent(KIND, stock="Upper")] == ["Upper"]
