"""The catalogue changed by the manager: a figure, a look, a name, a river; each with its source and a reason."""

from typing import Any

from django.http import Http404
from django.shortcuts import get_object_or_404

from registry.models import Species, SpeciesFigure, SpeciesLook, SpeciesName
from registry.operations.identity.species import (
    add_name,
    change_figure,
    change_looks,
    open_species,
    set_standing,
    take_name_back,
)
from registry.pages.catalogue.species.change_forms import ENDS, FigureForm, LooksForm, NameForm, OpenForm, StandingForm
from registry.pages.catalogue.species.keep import ReasonForm
from registry.permissions import CORRECT
from registry.rules.identity.characters import BY_KEY
from registry.rules.identity.determination import TakenBack
from registry.rules.identity.facts import FigureChanged, LooksChanged
from registry.rules.identity.figures import FIGURES
from registry.web.entry_view import EntryView
from registry.web.links import address


def _species(key: str, known: bool) -> Species:
    """Return the species of an address, if what is to be changed of it is known to the catalogue."""
    if not known:
        raise Http404
    found: Species = get_object_or_404(Species.objects.current(), key=key)
    return found


class ChangeFigure(EntryView):
    """Change a figure of a species."""

    form_class = FigureForm
    operation = change_figure
    permission = CORRECT
    title = "Change a figure"
    button = "Change"
    warns = False

    def form_kwargs(self) -> dict[str, Any]:
        self.species = _species(self.kwargs["key"], self.kwargs["figure"] in FIGURES)
        return {}

    def initial(self) -> dict[str, Any]:
        rows = SpeciesFigure.objects.current()
        row = rows.filter(species__key=self.kwargs["key"], figure=self.kwargs["figure"]).first()
        return {name: getattr(row, name) for name in (*ENDS, "scored", "source", "note")} if row else {}

    def context(self) -> dict[str, Any]:
        figure = FIGURES[self.kwargs["figure"]]
        unit = f" ({figure.unit})" if figure.unit else ""
        return {"title": f"{figure.name}{unit}: {self.species.common_name}"}

    def write(self, entry: dict[str, Any]) -> Any:
        return super().write(FigureChanged(species=self.species.key, figure=self.kwargs["figure"], **entry))

    def after(self, record: Species) -> str:
        return address("species", record.key)


class ChangeLooks(EntryView):
    """Change how a character looks in a species."""

    form_class = LooksForm
    operation = change_looks
    permission = CORRECT
    title = "Change a character"
    button = "Change"
    warns = False

    def form_kwargs(self) -> dict[str, Any]:
        character = BY_KEY.get(self.kwargs["character"])
        self.species = _species(self.kwargs["key"], bool(character and character.states))
        return {"character": self.kwargs["character"]}

    def initial(self) -> dict[str, Any]:
        rows = SpeciesLook.objects.current()
        held = list(rows.filter(species__key=self.kwargs["key"], character=self.kwargs["character"]))
        shares = {f"share_{row.look}": row.share for row in held}
        return shares | ({name: getattr(held[0], name) for name in ("scored", "source", "note")} if held else {})

    def context(self) -> dict[str, Any]:
        return {"title": f"{BY_KEY[self.kwargs['character']].name}: {self.species.common_name}"}

    def write(self, entry: dict[str, Any]) -> Any:
        return super().write(LooksChanged(species=self.species.key, character=self.kwargs["character"], **entry))

    def after(self, record: Species) -> str:
        return address("species", record.key)


class OpenSpecies(EntryView):
    """Open a species."""

    form_class = OpenForm
    operation = open_species
    permission = CORRECT
    title = "Open a species in the catalogue"
    button = "Open"
    warns = False

    def after(self, record: Species) -> str:
        return address("species", record.key)


class AddName(EntryView):
    """Add a name."""

    form_class = NameForm
    operation = add_name
    permission = CORRECT
    title = "Add a name of a species"
    button = "Add"
    warns = False

    def after(self, record: Species) -> str:
        return address("species", record.key)


class SetStanding(EntryView):
    """Say whether a species belongs to a river."""

    form_class = StandingForm
    operation = set_standing
    permission = CORRECT
    title = "Say whether a species belongs to a river"
    button = "Say so"
    warns = False

    def after(self, record: Species) -> str:
        return address("species", record.key)


class TakeNameBack(EntryView):
    """Take a name back."""

    form_class = ReasonForm
    operation = take_name_back
    permission = CORRECT
    title = "Take a name back"
    button = "Take back"
    warns = False

    def context(self) -> dict[str, Any]:
        rows = SpeciesName.objects.current().select_related("species")
        row = get_object_or_404(rows, pk=self.kwargs["pk"])
        return {"title": f"Take back the name “{row.name}” of {row.species.common_name}"}

    def write(self, entry: str) -> Any:
        return super().write(TakenBack(pk=self.kwargs["pk"], reason=entry))

    def after(self, record: Species) -> str:
        return address("species", record.key)
