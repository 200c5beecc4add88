"""What hands type into a form is read as the same text in a sheet would be."""

from datetime import date
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError

from registry.rules.days import Day
from registry.web.notations import KnownDay, Length, Mass, Percent


@pytest.mark.parametrize(
    ("field", "typed", "value"),
    [
        (Length(), "74,5", Decimal("74.5")),
        (Length(), "74,5 cm", Decimal(745)),
        (Length(), "1.21 m", Decimal(1210)),
        (Mass(), "12.3 kg", Decimal(12300)),
        (Mass(), "3400", Decimal(3400)),
        (Percent(), "80", Decimal(80)),
        (Percent(), "0.5 %", Decimal("0.5")),
        (KnownDay(), "2008", Day(date(2008, 1, 1), "year")),
        (KnownDay(), "May 2008", Day(date(2008, 5, 1), "month")),
        (KnownDay(), "17.5.2008", Day(date(2008, 5, 17))),
        (KnownDay(), "", None),
    ],
)
def test_notations_are_understood(field, typed, value):
    assert field.clean(typed) == value


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        (Length(), "1,250", "“1,250” cannot be read as one number. Write figures only, such as 745 or 74,5 cm."),
        (Length(), "74 kg", "is not in a unit that fits here. Use mm, cm, m."),
        (Length(), "-74", "-74 is negative, which cannot be. Check the sign."),
        (Mass(), "heavy", "“heavy” cannot be read as one number."),
        (Percent(), "0.8", "is read as a share: 80 %. Write 0.5 % with the sign if less than one per cent is meant."),
        (KnownDay(), "3/5/2019", "can be read with the day first or the month first. Write it as 2019-05-03."),
        (KnownDay(), "17.5.08", "is read as 2008-05-17. Check the century. Write the whole year, as in 2019-05-03."),
        (KnownDay(), "3 May 2126", "lies after"),
        (KnownDay(), "31.2.2019", "is no day of the calendar"),
    ],
)
def test_what_is_in_doubt_is_refused_with_the_way_out(field, typed, sentence):
    with pytest.raises(ValidationError) as caught:
        field.clean(typed)
    assert sentence in " ".join(caught.value.messages)


def test_a_value_from_the_register_stands_in_the_form_as_a_person_would_type_it():
    assert KnownDay().prepare_value(Day(date(2008, 5, 1), "month")) == "2008-05"
    assert Length().prepare_value(Decimal("1250.0")) == "1250"
