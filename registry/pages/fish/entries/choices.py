"""What the forms of fish offer to choose from: the register's own stocks, species, units and stages."""

from registry.models import HoldingUnit, MaturityStage, Species, Stock
from registry.web.notations import named

Choice = tuple[str, str]


def _species() -> list[Choice]:
    rows = Species.objects.current().values_list("key", "scientific_name", "common_name")
    return [(key, f"{scientific} ({common})") for key, scientific, common in rows]


def _stocks() -> list[Choice]:
    return [(name, name) for name in Stock.objects.current().values_list("name", flat=True)]


def _units() -> list[Choice]:
    rows = HoldingUnit.objects.current().select_related("facility")
    return [(unit.name, f"{unit.name} ({unit.get_kind_display().lower()}, {unit.facility})") for unit in rows]


def _stages() -> list[Choice]:
    rows = MaturityStage.objects.current().values_list("key", "meaning")
    return list({key: (key, f"{key}: {meaning}") for key, meaning in rows}.values())


species, stocks, units, stages = named(_species), named(_stocks), named(_units), named(_stages)
