"""The list of fish."""

from django.db.models import QuerySet

from registry.pages.fish.filters import FishFilters
from registry.pages.fish.tables import FishTable
from registry.permissions import ENTER
from registry.queries.fish.rows import fish_rows
from registry.web.lists import RegisterList


class FishList(RegisterList):
    """Every fish of the register."""

    table_class = FishTable
    filter_class = FishFilters
    title = "Fish"
    actions = (("Admit a fish", "fish_admit", ENTER), ("A fish is back", "fish_return", ENTER))

    def rows(self) -> QuerySet:
        return fish_rows()
