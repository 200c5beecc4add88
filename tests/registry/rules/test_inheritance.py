"""How a stock may be taken to inherit."""

from decimal import Decimal

import pytest

from registry.rules.inheritance import InheritanceSet, objections_to_inheritance


def codes(ploidy: int, reduction: str, reason: str = "counted chromosomes") -> list[str]:
    entry = InheritanceSet(stock="S", ploidy=ploidy, double_reduction=Decimal(reduction), reason=reason)
    return [objection.code for objection in objections_to_inheritance(entry)]


@pytest.mark.parametrize(("ploidy", "reduction"), [(2, "0"), (4, "0"), (4, "0.1429"), (4, "0.1667"), (8, "0.05")])
def test_usual_inheritance_is_taken(ploidy: int, reduction: str) -> None:
    # One in seven: random chromatid segregation of tetraploids; one in six: complete equational (Haldane 1930, from
    # memory).
    assert codes(ploidy, reduction) == []


@pytest.mark.parametrize(
    ("ploidy", "reduction", "code"),
    [
        (3, "0", "bad_ploidy"),
        (0, "0", "bad_ploidy"),
        (10, "0", "bad_ploidy"),
        (2, "0.1", "bad_double_reduction"),
        (4, "0.1668", "bad_double_reduction"),
        (4, "-0.1", "bad_double_reduction"),
        (4, "0.12345", "bad_double_reduction"),
    ],
)
def test_what_no_fish_inherits_like_is_refused(ploidy: int, reduction: str, code: str) -> None:
    assert codes(ploidy, reduction) == [code]


def test_a_reason_is_asked_for() -> None:
    assert codes(4, "0", "  ") == ["no_reason"]
