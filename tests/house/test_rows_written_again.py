"""When two numbers prove to be one fish, rows are taken back and written again for the kept one, and back if undone.

That works by itself for every record, today's and tomorrow's, if two things hold: no unique constraint counts rows
that were taken back, and no query reaches pairs of parents without asking whether they stand.
"""

from django.apps import apps
from django.db.models import Model, UniqueConstraint

from registry.models import Fish, FishDetails, HeldApart, Record, SameFish
from tests.support.sources import modules, short

# Their rows are written again by hand, or are never written again.
APART = {Fish, FishDetails, HeldApart, SameFish}


def test_a_row_that_names_a_fish_can_be_taken_back_and_written_again() -> None:
    stiff = []
    for model in hanging_on_fish():
        stiff += [
            f"{model.__name__}.{field.name}" for field in model._meta.fields if field.unique and field.name != "id"
        ]
        stiff += [
            f"{model.__name__}: {one.name}"
            for one in model._meta.constraints
            if isinstance(one, UniqueConstraint) and "withdrawn__isnull" not in str(one.condition)
        ]
    said = "make these unique among rows with withdrawn IS NULL (a UniqueConstraint with that condition)"
    assert stiff == [], said


def test_queries_reach_pairs_of_parents_only_where_they_stand() -> None:
    loose = []
    for path in modules("registry", "breeding"):
        text = path.read_text(encoding="utf-8")
        if "pairs__" in text.replace("pairs__withdrawn", "") and "pairs__withdrawn__isnull=True" not in text:
            loose.append(short(path))
    assert loose == [], "ask for pairs__withdrawn__isnull=True, or start from ParentPair.objects.current()"


def hanging_on_fish() -> set[type[Model]]:
    """Return every kind of record that names a fish, or a row of a kind that does."""
    kinds = {m for m in apps.get_app_config("registry").get_models() if issubclass(m, Record) and m not in APART}
    found: set[type[Model]] = {Fish}
    while more := {m for m in kinds - found if any(f.related_model in found for f in m._meta.concrete_fields)}:
        found |= more
    return found - {Fish}
