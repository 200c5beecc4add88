"""The kinship map opens to names; every figure can be taken away."""

from collections.abc import Callable
from decimal import Decimal

import pytest
from django.test import Client
from django.utils import timezone

from breeding.figures.heat_map import LARGEST_MAP
from registry.models import Fish
from registry.operations.fish import admit_fish, record_departure
from registry.operations.shared.entries import Admission, Day, Departure, Pair
from registry.queries.status.revision import pedigree_revision
from tests.support.broodstock import HALL, STOCK, broodstock
from tests.support.river import founder

MAP = f"/status/kinship/?stock={STOCK.replace(' ', '+')}"
STATUS = MAP.replace("kinship/", "")
FISH = MAP.replace("kinship/", "fish/")


@pytest.fixture
def desk(client_of: Callable[[str], Client]) -> Client:
    broodstock()
    return client_of("geneticist")


def text(answer: object) -> str:
    return " ".join(answer.content.decode().split())  # type: ignore[attr-defined]


def lines(answer: object) -> list[str]:
    return b"".join(answer.streaming_content).decode("utf-8-sig").splitlines()  # type: ignore[attr-defined]


def test_few_fish_stand_on_the_map_by_name(desk: Client) -> None:
    answer = desk.get(MAP)

    assert [one["fish"] for one in answer.context["clusters"]] == [1] * 7
    assert "D1 and D2: 0.25" in text(answer)
    assert '<a href="/fish/D1/">D1</a>' in text(answer)


def test_many_fish_are_gathered_and_a_group_opens_to_its_names(desk: Client) -> None:
    for n in range(LARGEST_MAP):
        admit_fish(HALL, founder(f"F{100 + n}"))
    for n in range(5):
        half = Decimal("0.5")
        pairs = (Pair("F100", "M1", half), Pair("F100", "M2", half))
        admit_fish(HALL, Admission(number=f"P{n}", species="ruthenus", stock=STOCK, pairs=pairs))
    answer = desk.get(MAP)
    assert len(answer.context["clusters"]) == LARGEST_MAP
    group = max(answer.context["clusters"], key=lambda one: len(one["members"]))

    opened = desk.get(f"{MAP}&of={pedigree_revision()}&branch={group['node']}")

    assert opened.context["zoomed"]
    assert sum(one["fish"] for one in opened.context["clusters"]) == group["fish"]
    assert all(one["node"] is None for one in opened.context["clusters"])
    assert "Show the whole stock" in text(opened)


def test_a_group_of_an_older_pedigree_is_not_opened(desk: Client) -> None:
    before = pedigree_revision()
    record_departure(HALL, Departure(fish="F2", left="died", left_on=Day(timezone.localdate())))

    answer = desk.get(f"{MAP}&of={before}&branch=8")

    assert "The pedigree has changed since that part was chosen, so the whole stock is shown." in text(answer)


def test_the_map_is_taken_away_as_it_is_shown(desk: Client) -> None:
    told = lines(desk.get(f"{MAP}&export=kinship"))

    assert len(told) == 8
    row = next(line for line in told if line.startswith("D1,"))
    # Itself 1/2, its two parents and its full sib 1/4, its half sib 1/8 (Falconer & Mackay 1996, from memory).
    assert sorted(float(cell) for cell in row.split(",")[1:]) == [0, 0, 0.125, 0.25, 0.25, 0.25, 0.5]


@pytest.mark.parametrize(
    ("sheet", "heading"),
    [
        ("figures", "figure,value,meaning,assumption"),
        ("years", "year,living at its end"),
        ("founders", "founder,share,retention"),
        ("year-classes", "hatch year,living,mean F"),
        ("effective-sizes", "method,effective size"),
        ("generation-interval", "path,mean age (years),pairs"),
    ],
)
def test_every_figure_can_be_taken_away(desk: Client, sheet: str, heading: str) -> None:
    answer = desk.get(f"{STATUS}&export={sheet}")

    assert answer["Content-Disposition"].startswith(f'attachment; filename="lower-isendre-{sheet}-')
    told = lines(answer)
    assert told[0].startswith(heading)
    assert len(told) > 1


def test_the_living_are_taken_away_in_order_of_mean_kinship(desk: Client) -> None:
    told = [line.split(",") for line in lines(desk.get(f"{FISH}&export=fish"))]

    assert told[0][:2] == ["Place", "Fish"]
    assert {row[1] for row in told[1:]} == set(Fish.objects.values_list("number", flat=True))
    assert told[1][1] == "M2"
    means = [float(row[-1]) for row in told[1:]]
    assert means == sorted(means)


def test_the_living_are_listed_by_sex(desk: Client) -> None:
    page = text(desk.get(f"{FISH}&sex=F"))

    assert "<strong>3</strong> fish" in page
    assert "H1" not in page


@pytest.mark.parametrize("page", [STATUS, MAP, FISH])
@pytest.mark.parametrize("role", ["viewer", "staff", "auditor"])
def test_everyone_signed_in_may_read(desk: Client, client_of: Callable[[str], Client], role: str, page: str) -> None:
    assert client_of(role).get(page).status_code == 200
