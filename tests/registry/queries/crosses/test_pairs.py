"""How close pairs are, and what was planned and made of them."""

import pytest
from django.utils import timezone

from registry.models import Fish
from registry.queries.crosses.pairs import kinship_of_pairs, past_of
from tests.support.broodstock import broodstock, plan_of

pytestmark = pytest.mark.django_db


def kinship(one, other):
    keys = tuple(Fish.objects.get(number=number).pk for number in (one, other))
    return kinship_of_pairs([keys])[keys]


# Falconer & Mackay 1996, Introduction to Quantitative Genetics, chapter 5 (coancestries); from memory.
@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [("D1", "D2", 1 / 4), ("F1", "D1", 1 / 4), ("D1", "H1", 1 / 8), ("F1", "M2", 0), ("D1", "D1", 1 / 2)],
)
def test_relatives_have_the_kinship_of_the_textbook(one, other, expected):
    broodstock()

    assert kinship(one, other) == expected


def test_what_was_planned_and_made_of_a_pair_is_told():
    broodstock()
    plan_of(("F1", "M2"))
    plan_of(("F2", "M2"), number="P2", signed=False)

    past = past_of(["F1", "F2"], ["M1", "M2"], timezone.localdate().year)

    assert past.plans == {("F1", "M2"): ["P1"], ("F2", "M2"): ["P2"]}
    assert past.families == {("F1", "M1"): ["10-1"], ("F2", "M1"): ["10-2"]}
