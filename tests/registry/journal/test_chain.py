"""The text that is hashed is the same on every database, and any change to it shows."""

import hashlib
import json
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.journal.chain import HASHED, canonical, entry_hash, moment
from registry.models import JournalEntry

NIGHT = datetime(2021, 5, 3, 23, 4, 5, 6, tzinfo=UTC)
VALUES = [2, NIGHT, NIGHT, "staff", 7, "tag attached", "fish F1", "page", "", None, '{"rows":[]}', "0" * 64]
scalars = st.none() | st.booleans() | st.integers() | st.text()
bodies = st.recursive(scalars, lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=8)


def test_canonical_text_has_sorted_keys_no_spaces_and_plain_letters() -> None:
    assert canonical({"b": [1, None, True], "a": "Störe ♀"}) == '{"a":"Störe ♀","b":[1,null,true]}'


@given(bodies)
def test_canonical_text_reads_back_as_the_same_and_is_written_the_same_again(body: object) -> None:
    assert json.loads(canonical(body)) == body
    assert canonical(json.loads(canonical(body))) == canonical(body)


@pytest.mark.parametrize("body", [1.5, [1, 2.0], {"a": {"b": (1, float("nan"))}}])
def test_a_binary_fraction_never_enters_the_journal(body: object) -> None:
    with pytest.raises(TypeError, match=r"is a float; give a whole number, a text or a Decimal as text\."):
        canonical(body)


def test_a_moment_is_the_same_text_from_any_time_zone() -> None:
    east = timezone(timedelta(hours=5, minutes=45))
    assert moment(NIGHT) == moment(NIGHT.astimezone(east)) == "2021-05-03T23:04:05.000006Z"


def test_the_hash_is_sha_256_over_the_columns_as_json() -> None:
    # SHA-256 (FIPS 180-4) as Python's own hashlib computes it, over the text written out here by hand.
    text = (
        '[2,"2021-05-03T23:04:05.000006Z","2021-05-03T23:04:05.000006Z","staff",7,"tag attached","fish F1","page","",'
        'null,"{\\"rows\\":[]}","' + "0" * 64 + '"]'
    )
    assert entry_hash(VALUES) == hashlib.sha256(text.encode()).hexdigest()


@pytest.mark.parametrize("place", range(len(VALUES)), ids=HASHED)
def test_a_change_in_any_column_changes_the_hash(place: int) -> None:
    value = VALUES[place]
    other = value + timedelta(microseconds=1) if isinstance(value, datetime) else f"{value}x"
    assert entry_hash([*VALUES[:place], other, *VALUES[place + 1 :]]) != entry_hash(VALUES)


def test_the_hash_covers_every_column_but_itself() -> None:
    assert set(HASHED) == {field.attname for field in JournalEntry._meta.concrete_fields} - {"hash"}
