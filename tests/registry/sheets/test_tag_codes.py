"""Tags out of a reader's file: every notation that the page takes, raw bits under a stated order, slips, twins.

Values: the bit layout of ISO 11784 and the check sum CRC-16/KERMIT, as worked in tests/registry/rules/tags.
"""

from datetime import date

import pytest
from django.core.management import call_command

from registry.models import SetAside, Tag
from registry.permissions import Actor
from registry.sheets.commit import take_in
from registry.sheets.preview import Preview
from tests.registry.rules.tags.test_raw import telegram
from tests.registry.sheets.test_preview import said, seen, statuses
from tests.support.river import CODES, small_river

pytestmark = pytest.mark.django_db
BITS, CHECK_SUM = 0x8000F65C2C6E5F94, 0xD80A
ONE_TAG = "985121004515220"


def tags(*rows: str, raw: str = "") -> Preview:
    return seen("tags", "\n".join(("Fish,Code,Put in,Set aside because", *rows)), raw=raw)


NOTATIONS = [
    ("985121004515220", ""),
    ("985 121004515220", ""),
    ("985-121-004515220", ""),
    ("8000F65C2C6E5F94", ""),
    ("3D9.1C2C6E5F94", ""),
    ("0985 0121004515220", ""),
    ("A985121004515220", ""),
    ("8000F65C2C6E5F94D80A", "high first"),
    (BITS.to_bytes(8, "little").hex(), "low first"),
    (telegram(BITS, CHECK_SUM), "telegram"),
    (f"{int(telegram(BITS, CHECK_SUM), 2):032X}", "telegram"),
    ("985 121 004 515 220", "low first"),
]
REFUSED = [
    ("8000F65C2C6E5F94D80A", "", "has 20 characters"),
    ("8000F65C2C6E5F94D80B", "high first", "The check sum does not fit"),
    ("98512100451522O", "", "has the letter O where a digit belongs. If it is 985121004515220, enter that."),
    ("98512100451S220", "", "is not a tag code. Enter the 15 digits"),
    ("98512100451S220", "", "Perhaps 985121004515220 is meant."),
    ("9851211004515220", "", "Perhaps 985121004515220 or 985121104515220 or 985121100451520 is meant."),
    ("999000000000001", "", "the range for tests"),
    ("3D9.4C2C6E5F94", "", "at most 274877906943 (38 bits)"),
]


def test_each_notation_of_the_readers_is_one_tag() -> None:
    small_river()
    for written, raw in NOTATIONS:
        found = tags(f"F1,{written},2011-05-03,", raw=raw)
        assert statuses(found) == ["added"], written
        assert found.rows[0].entry.code.code == ONE_TAG, written


def test_a_refusal_has_its_row_and_offers_what_may_be_meant() -> None:
    small_river()
    for written, raw, sentence in REFUSED:
        found = tags("F2,900215230196727,2011-05-03,", f"F1,{written},2011-05-03,", raw=raw)
        assert statuses(found) == ["added", "refused"]
        assert sentence in said(found, 3)


def test_a_code_that_another_fish_bears_is_set_aside_where_the_sheet_says_why(staff: Actor) -> None:
    small_river()
    refused = tags(f"M2,{CODES['M1']},2011-05-03,")
    assert "If both fish bear it, set the code aside" in said(refused, 2)
    found = tags(f"M2,{CODES['M1']},2011-05-03,a second fish of 40 cm")
    assert statuses(found) == ["added"]
    take_in(staff, found, "tags.csv")
    row = SetAside.objects.current().get()
    assert (row.fish.number, row.holder.number, row.read_on) == ("M2", "M1", date(2011, 5, 3))
    assert not Tag.objects.current().filter(fish__number="M2", code=CODES["M1"]).exists()


def test_the_command_takes_the_order_of_bits(tmp_path, capsys) -> None:
    small_river()
    file = tmp_path / "tags.csv"
    file.write_text(f"Fish,Code,Put in\nF1,{BITS.to_bytes(8, 'little').hex()},2011-05-03\n")
    call_command("import_sheet", "tags", str(file), "--raw", "low-first")
    assert Tag.objects.current().filter(fish__number="F1", code=ONE_TAG).exists()
