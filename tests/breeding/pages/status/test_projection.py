"""Projections of a stock: started by a geneticist, watched, cancelled, kept with all that they came from."""

import json
import threading
import time
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from django.conf import settings
from django.test import Client
from django.utils import timezone

from breeding.pages.status.projection import PROJECTIONS
from registry.exports import runs
from registry.operations.fish import record_departure
from registry.operations.shared.entries import Day, Departure
from registry.queries.status.revision import pedigree_revision
from tests.support.broodstock import HALL, STOCK, broodstock, plan_of

ADDRESS = f"/status/projection/?stock={STOCK.replace(' ', '+')}"
SMALL = {"plan": "", "generations": "2", "families": "2", "kept": "4", "replicates": "10", "seed": "3"}


@pytest.fixture
def desk(client_of: Callable[[str], Client], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Client]:
    """Return the geneticist's desk; what still runs at the end is cancelled."""
    monkeypatch.setattr(settings, "DATA", tmp_path)
    broodstock()
    yield client_of("geneticist")
    for run in runs.recent(PROJECTIONS):
        runs.cancel(PROJECTIONS, run["token"])
    wait_for_all()


def wait_for_all() -> None:
    for thread in threading.enumerate():
        if thread.name.startswith("projections "):
            thread.join(60)


def text(answer: object) -> str:
    return " ".join(answer.content.decode().split())  # type: ignore[attr-defined]


def finished(desk: Client, **more: str) -> str:
    answer = desk.post(ADDRESS, SMALL | more)
    assert answer.status_code == 302
    wait_for_all()
    return str(answer["Location"])


def test_a_projection_is_shown_with_what_it_came_from(desk: Client) -> None:
    page = text(desk.get(finished(desk)))

    assert "Projected gene diversity" in page
    assert "2 families, 4 young kept; 2 generations" in page
    assert "10 replicates of 100 loci" in page
    assert pedigree_revision() in page
    assert "A comparison of ways of crossing, not a forecast." in page


def test_its_file_holds_seed_inputs_and_state_of_the_pedigree(desk: Client) -> None:
    plan_of(("F2", "M2"))
    address = finished(desk, plan="P1")

    (path,) = (Path(settings.DATA) / "exports" / "projections").iterdir()
    kept = json.loads(path.read_text(encoding="utf-8"))
    assert path.stem in address
    assert (kept["state"], kept["asked"]["seed"], kept["plan"]) == ("done", 3, [["F2", "M2"]])
    assert kept["pedigree_revision"] == pedigree_revision()
    assert set(kept["dams"]) == {"D1", "F1", "F2"}
    assert set(kept["sires"]) == {"D2", "H1", "M1", "M2"}
    assert set(kept["outcomes"]) == {"plan", "equal", "random"}


def test_the_same_seed_gives_the_same_file_to_take_away(desk: Client) -> None:
    files = [b"".join(desk.get(f"{finished(desk)}?export=projection").streaming_content) for _ in range(2)]

    assert files[0] == files[1]
    assert files[0].decode("utf-8-sig").startswith('way of crossing,generation,"gene diversity, mean"')
    assert len(files[0].splitlines()) == 1 + 2 * 3


def test_a_projection_of_an_older_pedigree_says_so(desk: Client) -> None:
    address = finished(desk)
    assert "The pedigree has changed" not in text(desk.get(address))

    record_departure(HALL, Departure(fish="F2", left="died", left_on=Day(timezone.localdate())))

    assert "The pedigree has changed since this was computed." in text(desk.get(address))


def test_a_long_one_is_watched_and_cancelled(desk: Client) -> None:
    address = desk.post(ADDRESS, SMALL | {"generations": "20", "kept": "400", "replicates": "500"})["Location"]
    page = text(desk.get(address))
    assert "of 500 replicates." in page
    assert "Look again" in page

    desk.post(f"{address}cancel/")
    wait_for_all()

    assert "Cancelled after" in text(desk.get(address))
    assert "Cancelled" in text(desk.get(address))
    assert not list((Path(settings.DATA) / "exports" / "projections").glob("*.cancel"))


def test_one_runs_at_a_time(desk: Client) -> None:
    desk.post(ADDRESS, SMALL | {"generations": "20", "kept": "400", "replicates": "500"})

    answer = desk.post(ADDRESS, SMALL)

    assert answer.status_code == 422
    assert "A projection is running. Wait until it is done, or cancel it." in text(answer)


def test_one_that_ended_with_the_site_is_told_as_stopped(desk: Client) -> None:
    address = finished(desk)
    (path,) = (Path(settings.DATA) / "exports" / "projections").iterdir()
    silent = (timezone.now() - timedelta(minutes=5)).isoformat()
    path.write_text(json.dumps(json.loads(path.read_text("utf-8")) | {"state": "running", "seen": silent}), "utf-8")

    assert "because the site was restarted" in text(desk.get(address))
    assert desk.post(ADDRESS, SMALL).status_code == 302


def test_one_whose_process_is_gone_is_told_as_stopped_at_once(desk: Client) -> None:
    address = finished(desk)
    (path,) = (Path(settings.DATA) / "exports" / "projections").iterdir()
    kept = json.loads(path.read_text("utf-8")) | {"state": "running", "seen": timezone.now().isoformat()}
    assert "Running:" in text_of(path, kept, desk, address)
    kept["process"] |= {"name": "the process of this number before"}
    assert "because the site was restarted" in text_of(path, kept, desk, address)


def text_of(path: Path, kept: dict[str, object], desk: Client, address: str) -> str:
    path.write_text(json.dumps(kept), "utf-8")
    return text(desk.get(address))


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("generations", "21", "21 is out of reach. Write a number from 1 to 20."),
        ("kept", "1", "1 is out of reach. Write a number from 2 to 400."),
        ("replicates", "many", "“many” is not a whole number."),
        ("plan", "P9", "P9"),
    ],
)
def test_what_cannot_be_projected_is_refused_and_nothing_starts(
    desk: Client, field: str, value: str, sentence: str
) -> None:
    answer = desk.post(ADDRESS, SMALL | {field: value})

    assert answer.status_code == 422
    assert sentence in text(answer)
    assert list(runs.recent(PROJECTIONS)) == []


def test_a_stock_of_one_sex_is_not_projected(desk: Client) -> None:
    for number in ("F1", "F2", "D1"):
        record_departure(HALL, Departure(fish=number, left="died", left_on=Day(timezone.localdate())))

    answer = desk.post(ADDRESS, SMALL)
    wait_for_all()

    assert answer.status_code == 422
    assert "A projection needs at least one female and one male." in text(answer)


def test_only_who_plans_may_start_and_cancel_and_all_may_read(desk: Client, client_of: Callable[[str], Client]) -> None:
    address, viewer = finished(desk), client_of("viewer")

    assert viewer.post(ADDRESS, SMALL).status_code == 403
    assert viewer.post(f"{address}cancel/").status_code == 403
    assert "Start</button>" not in text(viewer.get(ADDRESS))
    assert viewer.get(address).status_code == 200


@pytest.mark.parametrize("token", ["20200101-000000-00000000", "nonsense"])
def test_a_projection_that_is_not_there_is_not_found(desk: Client, token: str) -> None:
    assert desk.get(f"/status/projection/{token}/").status_code == 404


def test_the_list_holds_those_of_the_stock_newest_first(desk: Client) -> None:
    finished(desk, seed="1")
    time.sleep(1.1)  # runs are ordered by the second they began in
    finished(desk, seed="2")

    assert [run["asked"]["seed"] for run in desk.get(ADDRESS).context["runs"]] == [2, 1]
