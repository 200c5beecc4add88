"""trace CODE on the command line: what it says, what it writes as JSON, how it ends."""

import json
import subprocess
import sys

import pytest
from django.core.management import CommandError, call_command

from registry.operations.shared.entries import BatchPart, ReleaseMade
from registry.operations.young.releases import release
from tests.support.mixed_batch import CODES, FREED, mixed_batch, second_generation
from tests.support.sources import ROOT

pytestmark = pytest.mark.django_db


@pytest.fixture
def river(db):
    found = mixed_batch()
    second_generation(found)
    return found


def said(capsys, *words, **options):
    call_command("trace", *words, **options)
    return capsys.readouterr().out


def test_a_lineage_is_told_with_probability_evidence_and_entry(river, capsys):
    text = said(capsys, "X1")

    assert text.startswith("fish X1 (female, hatchery-born")
    assert "  batch 1: batch B1" in text
    assert "    family 0.6667: family 10-1" in text
    assert "sire 0.5: fish M2" in text
    assert "[supported: tagged out of mixed batch B1; tag unbroken since, entry " in text
    assert "4 founders or first records. Weakest step: supported." in text


def test_a_tag_leads_to_its_fish(river, capsys):
    assert f"{CODES['X1']}: fish X1 bears tag {CODES['X1']}" in said(capsys, CODES["X1"])


def test_a_recapture_leads_to_its_release(river, capsys):
    assert "release R1 (200 fish" in said(capsys, "C1")


def test_json_holds_every_step(river, capsys):
    plain = json.loads(said(capsys, "X1", json=True))

    assert (plain["start"], plain["certainty"]) == ("fish X1", "supported")
    assert plain["founders"] == ["F1", "F2", "M1", "M2"]
    chances = {(step["source"], step["origin"]): step["probability"] for step in plain["steps"]}
    assert chances["family 10-2", "fish M2"] == "0.5"
    assert plain["steps"][0]["entry"]["what"] == "fish registered from batch"
    assert len(plain["steps"]) == len(chances)


def test_down_leads_to_batches_releases_and_recaptures(river, capsys):
    text = said(capsys, "F1", "--down")
    assert "Generation 2\n  family 18-1 (1): 0 fish" in text
    assert "  R1, 2011-06-01: 200 fish out of batch B3, share 0.6667, the weir" in text
    assert "C1, 2012-07-01, the bridge: R1" in text

    plain = json.loads(said(capsys, "F1", "--down", json=True))
    assert [one["number"] for one in plain["releases"]] == ["R1", "R2"]


def test_what_is_not_in_the_register_ends_with_one(river):
    with pytest.raises(CommandError, match=r"is called “NOPE”\. Check the number, or scan the tag again") as ended:
        call_command("trace", "NOPE")
    assert ended.value.returncode == 1


def test_a_number_of_two_records_is_asked_about_and_the_kind_decides(river, capsys):
    part = (BatchPart(batch="B3", count=1),)
    release(river.by, ReleaseMade(number="B3", released_on=FREED, place="the weir", batches=part))

    with pytest.raises(CommandError, match=r"“B3” means 2 things\. Write which: “batch B3”, “release B3”"):
        call_command("trace", "B3")
    assert said(capsys, "release B3").startswith("release B3")
    assert said(capsys, "batch B3").startswith("batch B3")


def test_no_code_at_all_is_wrong_use():
    ended = subprocess.run(
        [sys.executable, "manage.py", "trace"], cwd=ROOT, capture_output=True, text=True, check=False, timeout=60
    )
    assert ended.returncode == 2
    assert "the following arguments are required: CODE" in ended.stderr
