"""Founders that markers have shown to be related are so in every figure at once, until that is taken back."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from types import SimpleNamespace

import pytest
from django.test import Client

from breeding.genetics.kinship import kinship_between
from registry.models import FounderPair, FounderSet, Role
from registry.operations.catalogue import relate_founders, set_inheritance
from registry.operations.identity.joining import join_numbers
from registry.operations.shared.entries import Joining
from registry.permissions import Actor
from registry.queries.catalogue import inheritance_of
from registry.queries.pedigree import pedigree_of
from registry.queries.status.keep import kept_status
from registry.queries.status.matrix import kinship_matrix
from registry.rules.inheritance import FoundersRelated, InheritanceSet, KinshipGiven
from tests.registry.queries.status.conftest import keys, stock
from tests.support.people import person
from tests.support.proof import only_those_who_may, refused
from tests.support.river import STOCK

PAGE = "/enter/founders/"


@pytest.fixture
def geneticist(river: SimpleNamespace) -> Actor:
    return person(Role.GENETICIST)


def related(*pairs: tuple[str, str, str], **more: str) -> FoundersRelated:
    given = tuple(KinshipGiven(one=one, other=other, kinship=Decimal(value)) for one, other, value in pairs)
    return FoundersRelated(**{"stock": STOCK, "source": "forty loci", "pairs": given} | more)


def between(one: str, other: str) -> float:
    at = keys()
    return kinship_between(pedigree_of([at[one], at[other]], *inheritance_of(stock())), at[one], at[other])


def test_kinship_of_founders_is_in_every_figure_at_once_and_back_again(
    geneticist: Actor, tag: Callable[..., None]
) -> None:
    """D is the young of F1 and M1: with F1 and M1 as full sibs F is 1/4 (Falconer & Mackay 1996, from memory)."""
    tag("D")
    before = kept_status(stock()).headline
    assert (between("F1", "M1"), between("D", "M1")) == (0, 0.25)

    relate_founders(geneticist, related(("F1", "M1", "0.25")))

    assert between("F1", "M1") == 0.25
    assert between("D", "M1") == (0.5 + 0.25) / 2
    found = kept_status(stock())
    assert max(found.inbreeding) == 0.25
    assert found.headline.mean_kinship > before.mean_kinship
    matrix = kinship_matrix(stock())
    places = [matrix.names.index(keys()[number]) for number in ("F1", "M1")]
    assert matrix.kinship[places[0], places[1]] == 0.25

    relate_founders(geneticist, related(source="estimate withdrawn"))
    assert kept_status(stock()).headline == before
    assert FounderSet.objects.count() == 2
    assert not FounderPair.objects.current().exists()


def test_impossible_kinships_are_refused_and_nothing_is_written(geneticist: Actor, tag: Callable[..., None]) -> None:
    tag("D")
    only_those_who_may(
        ("say how founders are related", "administrator, geneticist"),
        lambda by: relate_founders(by, related(("F1", "M1", "0.1"))),
    )
    with refused("F1, X9: no fish has the number X9.", "the parents of D are on record, so its kinship follows"):
        relate_founders(geneticist, related(("F1", "X9", "0.1"), ("F1", "D", "0.1")))
    with refused("kinship 0.2 here, 0.1 in an earlier line. Keep one.", "kinship 2 is impossible", "Say who estimated"):
        relate_founders(geneticist, related(("F1", "M1", "0.1"), ("M1", "F1", "0.2"), ("F1", "F2", "2"), source=" "))
    with refused("Kinship of F1 with M1 is 0.6. It must lie from 0 to 0.5."):
        relate_founders(geneticist, related(("F1", "M1", "0.6")))


def test_kinships_that_no_population_can_have_are_mended_after_a_warning(geneticist: Actor) -> None:
    """F1 and F2 unrelated, both 0.4 with M1: the smallest eigenvalue, 0.5 - 0.4√2, is below zero (by hand)."""
    entry = related(("F1", "M1", "0.4"), ("F2", "M1", "0.4"))
    with refused("No population can have these kinships together."):
        relate_founders(geneticist, entry, confirmed=False)
    relate_founders(geneticist, entry)

    mended = inheritance_of(stock()).related
    assert 0 < mended.change < 0.1
    assert between("F1", "M1") == pytest.approx(0.4 - mended.change, abs=0.05)


def test_another_inheritance_waits_until_the_founders_fit_it(geneticist: Actor) -> None:
    relate_founders(geneticist, related(("F1", "M1", "0.4")))
    with refused(
        "The founders' kinship on record does not fit: Kinship of F1 with M1 is 0.4. It must lie from 0 to 0.25."
    ):
        set_inheritance(person(Role.ADMINISTRATOR), InheritanceSet(stock=STOCK, ploidy=4, reason="marker study"))


def test_two_numbers_that_prove_to_be_one_founder_keep_its_kinship(geneticist: Actor, river: SimpleNamespace) -> None:
    relate_founders(geneticist, related(("F1", "M1", "0.1"), ("F1", "M2", "0.2"), ("M1", "M2", "0.3")))
    joined = Joining(kept="M1", other="M2", evidence="genotype", proved_on=date(2012, 1, 1), reason="same genotype")
    join_numbers(person(Role.MANAGER), joined)

    assert between("F1", "M1") == 0.1  # as the kept number said it
    assert inheritance_of(stock()).related.change == 0


def test_pairs_are_pasted_as_a_table_and_every_line_that_cannot_be_read_is_told(
    geneticist: Actor, client_of: Callable[[str], Client]
) -> None:
    desk = client_of("geneticist")
    wrong = desk.post(PAGE, {"stock": STOCK, "source": "forty loci", "pairs": "F1, M1\nF1, M1, close\n"})
    assert wrong.status_code == 422
    told = wrong.content.decode()
    assert "Line 1, “F1, M1”, has 2 parts." in told
    assert "Line 2: “close” is no kinship." in told

    pasted = "one\tother\tkinship\nF1\tM1\t0,125\nF2;M1;0.1"
    assert desk.post(PAGE, {"stock": STOCK, "source": "forty loci", "pairs": pasted}).status_code == 302
    assert between("F1", "M1") == 0.125
    assert "F1, M1, 0.125\nF2, M1, 0.1" in desk.get(f"{PAGE}?stock={STOCK}").content.decode()
    assert "3 founders are related as markers showed." in desk.get(f"/status/?stock={STOCK}").content.decode()
