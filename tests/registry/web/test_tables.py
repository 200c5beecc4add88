"""What a table's cells show, and that nothing typed into the register becomes markup."""

from datetime import UTC, date, datetime

import pytest

from registry import models as kept
from registry.web.tables import (
    DayColumn,
    ItalicColumn,
    LinkColumn,
    NumberColumn,
    RegisterTable,
    TimeColumn,
    tables,
)

pytestmark = pytest.mark.django_db


class Details(RegisterTable):
    number = LinkColumn(accessor="fish__number", page="no_such_page")
    sex = tables.Column()
    species = ItalicColumn(accessor="species__scientific_name")
    hatched_on = DayColumn(precision="hatched_precision")
    whose = tables.Column(empty_values=(), orderable=False)
    last_order = "fish__number"

    class Meta(RegisterTable.Meta):
        model = kept.FishDetails
        fields = ("number", "sex", "species", "hatched_on", "whose")

    def render_whose(self, record, table):
        return f"{record.fish.number} of {len(table.columns)}"


class Plain(RegisterTable):
    pair = tables.Column()
    kinship = NumberColumn()
    at = TimeColumn()


def body(table):
    return [str(row) for row in table.body()]


def shown(hand, **details):
    fish = hand.put(kept.Fish(number=details.pop("number", "2019-014")))
    hand.put(kept.FishDetails(fish=fish, **details))
    table = Details(kept.FishDetails.objects.select_related("fish", "species"))
    table.paginate()
    return body(table)[0]


def test_a_choice_is_shown_by_its_label_and_a_missing_value_as_a_dash(hand):
    row = shown(hand, sex="F")

    assert row.startswith('<tr><td class="number">2019-014</td><td>Female</td><td>–</td><td class="day">–</td>')


def test_a_scientific_name_stands_in_italics(hand, world):
    assert "<td><i>sterlet</i></td>" in shown(hand, species=world.species)


@pytest.mark.parametrize(
    ("precision", "words", "filed"),
    [
        ("day", "3 May 2008", date(2008, 5, 3)),
        ("month", "May 2008", "2008-05"),
        ("year", "2008", "2008"),
        ("", "3 May 2008", date(2008, 5, 3)),
    ],
)
def test_a_day_is_shown_and_filed_as_far_as_it_is_known(hand, precision, words, filed):
    row = shown(hand, hatched_on=date(2008, 5, 3), hatched_precision=precision)

    assert f'<td class="day">{words}</td>' in row
    assert next(iter(Details(kept.FishDetails.objects.all()).exported_rows()))[3] == filed


def test_a_column_may_compute_from_its_record(hand):
    assert "<td>2019-014 of 5</td>" in shown(hand)


def test_markup_typed_as_a_number_is_shown_as_text(hand):
    row = shown(hand, number="<img src=x>")

    assert "<img" not in row
    assert "&lt;img src=x&gt;" in row


def test_rows_that_are_no_records_are_shown_alike():
    at = datetime(2026, 5, 3, 14, 5, tzinfo=UTC)
    rows = [{"pair": "F1 × <M1>", "kinship": 0, "at": at}, {"pair": None, "kinship": None, "at": None}]
    table = Plain(rows)
    table.paginate()

    assert body(table) == [
        '<tr><td>F1 × &lt;M1&gt;</td><td class="n">0</td><td>3 May 2026, 14:05</td></tr>',
        '<tr><td>–</td><td class="n">–</td><td>–</td></tr>',
    ]
    assert list(table.exported_rows()) == [["F1 × <M1>", 0, "2026-05-03T14:05:00+00:00"], [None, None, None]]
