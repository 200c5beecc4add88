"""All sheets of the samples together: taken in twice, and the pedigree that comes out of them."""

import pytest

from breeding.genetics.diversity import group_coancestry
from breeding.genetics.inbreeding import inbreeding
from registry.models import Fish, FishDetails, JournalEntry
from registry.operations.people import installer
from registry.queries.pedigree import pedigree_of
from registry.sheets.commit import take_in
from registry.sheets.kinds.shared import REFUSED
from tests.support.samples import KINDS, shown, take_until, truth, truth_of

pytestmark = pytest.mark.django_db


def test_the_same_files_a_second_time_change_nothing() -> None:
    take_until("measurements")
    entries = JournalEntry.objects.count()
    for kind in KINDS:
        again = shown(kind)
        assert again.order == []
        wanted = {line["row"] for line in [*truth_of(kind)["clean"]]}
        assert wanted.isdisjoint({verdict.number for verdict in again.of(REFUSED)})
        assert take_in(installer("test"), again, "again.csv", accept_valid=True).rows == 0
    assert JournalEntry.objects.count() == entries


def test_inbreeding_of_every_accepted_fish_is_the_truths() -> None:
    take_until("releases")
    keys = dict(Fish.objects.values_list("number", "pk"))
    pedigree = pedigree_of(keys.values())
    values = dict(zip(pedigree.ids, inbreeding(pedigree), strict=True))
    wanted = truth()["pedigree"]["inbreeding"] | truth()["pedigree"]["inbreeding_expected_pooled"]
    assert len(wanted) == 132
    assert {number: values[keys[number]] for number in wanted} == pytest.approx(wanted, abs=1e-9)


def test_mean_kinship_of_the_living_of_each_stock_is_the_truths() -> None:
    take_until("releases")
    keys = dict(Fish.objects.values_list("number", "pk"))
    for stock, of in truth()["pedigree"]["mean_kinship"]["living_accepted"].items():
        living = FishDetails.objects.current().filter(stock__name=stock, left="")
        assert set(of["ids"]) <= set(living.values_list("fish__number", flat=True)), stock
        fish = [keys[number] for number in of["ids"]]
        assert group_coancestry(pedigree_of(fish), fish) == pytest.approx(of["mean_kinship"], abs=1e-9), stock
