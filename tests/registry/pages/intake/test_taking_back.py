"""What was entered of a fish by mistake is taken back from its page."""

import pytest

from registry.web.links import address
from tests.support.care import cared_for
from tests.support.river import small_river

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("what", ["sample", "sending", "treatment", "ploidy"])
def test_the_page_of_a_fish_leads_the_manager_to_taking_it_back(client_of, what):
    done = cared_for(small_river().by, "F1")
    target = address(f"{what}_take_back", getattr(done, what).pk)

    assert target in client_of("manager").get("/fish/F1/").content.decode()
    assert target not in client_of("viewer").get("/fish/F1/").content.decode()
