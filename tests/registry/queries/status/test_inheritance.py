"""How a stock is set to inherit is in every figure at once, and nowhere else.

F1 ─┬─ M1
 P ─┴─ Q        full sibs
    └─┬─┘
      Z
"""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest

from registry.models import Role
from registry.operations.catalogue import StockOpened, open_stock, set_inheritance
from registry.operations.people import installer
from registry.operations.shared.entries import Pair
from registry.queries.catalogue import Inherits, inheritance_of
from registry.queries.status.keep import kept_status
from registry.queries.status.matrix import kinship_matrix
from registry.queries.status.outlook import Asked, question_of
from registry.rules.inheritance import InheritanceSet
from tests.registry.queries.status.conftest import keys, stock
from tests.registry.queries.status.test_figures import admit
from tests.support.people import person
from tests.support.river import STOCK


def inherit(ploidy: int, reduction: str = "0") -> None:
    entry = InheritanceSet(stock=STOCK, ploidy=ploidy, double_reduction=Decimal(reduction), reason="marker study")
    set_inheritance(person(Role.ADMINISTRATOR), entry)


@pytest.fixture
def sibs(river: SimpleNamespace, leave: Callable[[str, int], None]) -> dict[str, int]:
    admit(river.by, "P", 2010, Pair("F1", "M1"), sex="F")
    admit(river.by, "Q", 2010, Pair("F1", "M1"), sex="M")
    admit(river.by, "Z", 2016, Pair("P", "Q"))
    for number in ("F1", "F2", "M1", "M2"):
        leave(number, 2018)
    return keys()


def inbreeding(sibs: dict[str, int]) -> dict[str, float]:
    """Return F of the three; Z never bred, so it stands under its parentage."""
    status = kept_status(stock())
    names = {key: number for number, key in sibs.items()}
    return {names.get(name, "Z"): f for name, f in zip(status.living, status.inbreeding.tolist(), strict=True)}


@pytest.mark.parametrize(
    ("ploidy", "reduction", "of_sibs", "of_young"),
    [
        # Autotetraploids: F of the young of full sibs 1/12 without double reduction; with a tenth 1/7, and 1/21 of the
        # sibs themselves (Hamilton and Kerr 2018, Theor. Appl. Genet. 131: 851-860; worked by hand, and by sgkit).
        (4, "0", 0, 1 / 12),
        (4, "0.1", 1 / 21, 1 / 7),
        # Autohexaploids: 0.05 and, with a tenth, 0.128125; sibs 0.0625.
        (6, "0.1", 0.0625, 0.128125),
    ],
)
def test_figures_follow_at_once_and_back_again(
    sibs: dict[str, int], ploidy: int, reduction: str, of_sibs: float, of_young: float
) -> None:
    diploid = {"P": 0, "Q": 0, "Z": 0.25}
    assert inbreeding(sibs) == diploid
    inherit(ploidy, reduction)
    assert inbreeding(sibs) == pytest.approx({"P": of_sibs, "Q": of_sibs, "Z": of_young})
    inherit(2)
    assert inbreeding(sibs) == diploid


def test_the_map_of_kinship_and_the_projection_inherit_alike(sibs: dict[str, int]) -> None:
    inherit(4, "0.1")
    matrix = kinship_matrix(stock())
    places = [matrix.names.index(sibs[number]) for number in "PQ"]
    assert matrix.kinship[places[0], places[1]] == pytest.approx(1 / 7)  # full sibs, same source
    question = question_of(stock(), kept_status(stock()), Asked("", 3, 2, 4, 10, 1), date(2026, 5, 1))
    assert (question.double_reduction, question.pedigree.ploidy.tolist()) == (0.1, [4] * len(question.pedigree))


def test_another_stock_keeps_its_own(river: SimpleNamespace) -> None:
    other = open_stock(installer("test"), StockOpened(name="Upper Isendre", species="ruthenus"))
    inherit(4)
    assert (inheritance_of(stock()), inheritance_of(other)) == (Inherits(4), Inherits(other.species.ploidy))
