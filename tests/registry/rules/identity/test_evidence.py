"""Evidence that a fish is the one it is taken for is named; where there is none, the guess says how likely."""

from decimal import Decimal

import pytest

from registry.rules.identity.evidence import EVIDENCE, objections_to_evidence


@pytest.mark.parametrize("known_by", [one for one in EVIDENCE if one != "asserted"])
def test_each_kind_of_evidence_stands_by_itself(known_by: str) -> None:
    assert objections_to_evidence(known_by, None, needed=True) == []


def test_an_identity_that_is_only_asserted_says_how_likely_it_is() -> None:
    assert objections_to_evidence("asserted", Decimal("0.8")) == []


@pytest.mark.parametrize(
    ("known_by", "probability", "needed", "field", "sentence"),
    [
        ("", None, True, "known_by", "Say how it is known that this is the same fish"),
        ("by eye", None, False, "known_by", "“by eye” is not one of second tag, genotype"),
        ("asserted", None, False, "probability", "say how likely you hold it, as a share such as 0.8"),
        ("asserted", Decimal(0), False, "probability", "0 is not above 0 and up to 1"),
        ("asserted", Decimal("1.5"), False, "probability", "1.5 is not above 0 and up to 1"),
        ("genotype", Decimal("0.8"), False, "probability", "belongs to an asserted identity only"),
    ],
)
def test_evidence_that_says_nothing_is_refused(known_by, probability, needed, field, sentence) -> None:
    (objection,) = objections_to_evidence(known_by, probability, needed)
    assert objection.field == field
    assert sentence in objection.message
