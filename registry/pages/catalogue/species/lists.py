"""Species and determinations as lists."""

import django_filters
from django.db.models import QuerySet

from registry.models import Confidence, Determination, Species
from registry.permissions import CORRECT, ENTER
from registry.queries.catalogue import named_species, species_rows
from registry.queries.catalogue.determinations import determination_rows
from registry.web.filters import ChoiceFilter, DateRangeFilter, RegisterFilters, SpeciesFilter, TextFilter
from registry.web.lists import RegisterList
from registry.web.tables import DayColumn, ItalicColumn, LinkColumn, NumberColumn, RegisterTable, tables


class SpeciesTable(RegisterTable):
    """Every species of the catalogue."""

    common_name = tables.Column(verbose_name="Name", linkify=("species", {"key": tables.A("key")}))
    scientific_name = ItalicColumn(verbose_name="Species")
    code = tables.Column(verbose_name="Code")
    ploidy = NumberColumn(verbose_name="Gene copies")
    chromosome_class = tables.Column(verbose_name="Chromosome number")
    longest = NumberColumn(verbose_name="Longest known (mm)")
    heaviest = NumberColumn(verbose_name="Heaviest known (g)")
    female_from = NumberColumn(verbose_name="Females mature from (years)")
    male_from = NumberColumn(verbose_name="Males mature from (years)")
    living = NumberColumn(verbose_name="Living fish")
    source = tables.Column()
    last_order = "scientific_name"

    class Meta(RegisterTable.Meta):
        model = Species
        fields = (
            "common_name", "scientific_name", "code", "living", "longest", "heaviest", "female_from", "male_from",
            "ploidy", "chromosome_class", "source",
        )  # fmt: skip
        order_by = ("scientific_name",)
        empty_text = "No species fits. Loosen a filter."

    def render_longest(self, value: object) -> str:
        return f"{value:.0f}"

    def render_heaviest(self, value: object) -> str:
        return f"{value:.0f}"

    def render_female_from(self, value: object) -> str:
        return f"{value:g}"

    def render_male_from(self, value: object) -> str:
        return f"{value:g}"


class SpeciesFilters(RegisterFilters):
    """What the list of species can be narrowed by."""

    name = django_filters.CharFilter(method="by_name", label="Any of its names")
    ploidy = ChoiceFilter(choices=[(n, str(n)) for n in (2, 4, 6, 8)], label="Gene copies")

    class Meta:
        model = Species
        fields = ()

    def by_name(self, rows: QuerySet, _name: str, text: str) -> QuerySet:
        return named_species(rows, text)


class SpeciesList(RegisterList):
    """Every species."""

    table_class = SpeciesTable
    filter_class = SpeciesFilters
    title = "Species"
    template_name = "registry/catalogue/species/list.html"
    intro = "What each species shows, how large and old it grows, and where that is printed."
    actions = (
        ("Which species is it?", "species_determine", ""),
        ("Compare two", "species_compare", ""),
        ("Determinations", "determination_list", ""),
        ("Open a species", "species_open", CORRECT),
    )

    def rows(self) -> QuerySet:
        return species_rows()


class DeterminationTable(RegisterTable):
    """Every determination that stands."""

    fish = LinkColumn(accessor="fish__number", page="fish", verbose_name="Fish")
    determined_on = DayColumn(verbose_name="Looked at")
    species = ItalicColumn(accessor="species__scientific_name", verbose_name="Concluded")
    hybrid = tables.BooleanColumn(yesno="hybrid,", verbose_name="Hybrid")
    confidence = tables.Column(verbose_name="Known by")
    flags = tables.Column(verbose_name="To be wary of", orderable=False)
    pk = LinkColumn(page="determination", verbose_name="Determination")
    last_order = "pk"

    class Meta(RegisterTable.Meta):
        model = Determination
        fields = ("pk", "fish", "determined_on", "species", "hybrid", "confidence", "flags")
        order_by = ("-determined_on",)
        empty_text = "No determination fits. Loosen a filter, or determine a fish by its characters."

    def render_flags(self, value: str) -> str:
        return "; ".join(line.partition(".")[0] for line in value.splitlines())


class DeterminationFilters(RegisterFilters):
    """What the list of determinations can be narrowed by."""

    fish = TextFilter(field_name="fish__number", label="Fish")
    species = SpeciesFilter()
    confidence = ChoiceFilter(choices=Confidence.choices, label="Known by")
    determined_on = DateRangeFilter(label="Looked at")

    class Meta:
        model = Determination
        fields = ()


class DeterminationList(RegisterList):
    """Every determination."""

    table_class = DeterminationTable
    filter_class = DeterminationFilters
    title = "Determinations"
    intro = "Fish whose species was told by their characters. It advises; only a genetic test decides."
    actions = (
        ("Which species is it?", "species_determine", ""),
        ("Enter a laboratory's report", "determination_enter", ENTER),
    )

    def rows(self) -> QuerySet:
        return determination_rows()
