"""The register as it was known on a day: what was entered by its end, and not yet taken back."""

from datetime import UTC, date, datetime

import pytest
import time_machine

from registry.journal.as_of import end_of, known_on
from registry.models import FishDetails, Transfer
from registry.operations.corrections import Correction, correct
from registry.operations.shared.entries import Taking
from registry.operations.young.batches import record_loss
from tests.support.river import small_river

pytestmark = pytest.mark.django_db


def at(day):
    return time_machine.travel(datetime(2031, 3, day, 9, tzinfo=UTC), tick=False)


@pytest.fixture
def river(db):
    """Entered on 1 March 2031: the river; on 3 March a loss of 50, on 5 March its correction to 40."""
    with at(1):
        found = small_river()
    with at(3):
        record_loss(found.by, Taking(batch="B1", moved_on=date(2010, 6, 1), count=50))
    with at(5):
        loss = Transfer.objects.current().get(event="loss")
        correct(found.by, Correction(record=loss, changes={"count": 40}, reason="counted twice"))
    return found


@pytest.mark.parametrize(
    ("day", "counts"), [(2, []), (3, [50]), (4, [50]), (5, [40]), (9, [40])]
)  # by day of entering, not of happening: all happened in 2010
def test_a_correction_is_known_from_its_day_on_and_the_wrong_figure_until_then(river, day, counts):
    rows = known_on(Transfer.objects.filter(event="loss"), date(2031, 3, day))
    assert list(rows.values_list("count", flat=True)) == counts


def test_without_a_day_what_holds_now_is_meant(river):
    assert set(known_on(Transfer.objects.all(), None)) == set(Transfer.objects.current())


def test_nothing_is_known_before_the_first_entry(river):
    assert not known_on(FishDetails.objects.all(), date(2031, 2, 28)).exists()


def test_a_day_ends_at_the_hatcherys_own_midnight(settings):
    settings.TIME_ZONE = "Etc/GMT-12"
    assert end_of(date(2031, 3, 1)) == datetime(2031, 3, 1, 12, tzinfo=UTC)
