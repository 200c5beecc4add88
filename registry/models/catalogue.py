"""Species, stocks, maturity stages and policy figures: reference data, each with its source."""

from django.db import models

from registry.models.record import Record


class Species(Record):
    """A taxon of the catalogue, under the name that the register uses.

    Gene copies are fixed with the species: all kinship rests on them. Sizes and ages stand here as the species was
    first taken in; a `SpeciesFigure` of the same name holds in their place.
    """

    key = models.SlugField(max_length=40, unique=True)
    scientific_name = models.CharField(max_length=80, unique=True)
    common_name = models.CharField(max_length=80)
    ploidy = models.PositiveSmallIntegerField(help_text="Functional ploidy used in kinship: 2, 4, 6 or 8.")
    chromosome_class = models.CharField(max_length=10, help_text="low, middle or high chromosome number.")
    max_length_mm = models.PositiveIntegerField(help_text="Largest published total length.")
    max_mass_g = models.PositiveIntegerField(help_text="Largest published mass.")
    female_maturity_years = models.PositiveSmallIntegerField(null=True)
    male_maturity_years = models.PositiveSmallIntegerField(null=True)
    source = models.TextField()

    class Meta(Record.Meta):
        ordering = ["scientific_name"]
        verbose_name_plural = "species"
        constraints = [
            models.CheckConstraint(condition=models.Q(ploidy__in=[2, 4, 6, 8]), name="species_ploidy_even"),
        ]

    def __str__(self) -> str:
        return self.scientific_name


class SpeciesName(Record):
    """Another name of a species: synonym, vernacular, trade code."""

    species = models.ForeignKey(Species, on_delete=models.PROTECT, related_name="names")
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=20, help_text="synonym, vernacular or code.")
    source = models.TextField(blank=True)

    class Meta(Record.Meta):
        ordering = ["kind", "name"]
        constraints = [
            models.UniqueConstraint(
                fields=["name"], condition=models.Q(withdrawn__isnull=True), name="name_of_one_species"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Stock(Record):
    """The management unit bred on its own: a species of one river and run."""

    name = models.CharField(max_length=80, unique=True)
    species = models.ForeignKey(Species, on_delete=models.PROTECT, related_name="stocks")
    river = models.CharField(max_length=80, blank=True)

    class Meta(Record.Meta):
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class StockInheritance(Record):
    """How kinship takes a stock to inherit, in place of its species' row; a later one withdraws the earlier."""

    stock = models.ForeignKey(Stock, on_delete=models.PROTECT, related_name="inheritances")
    ploidy = models.PositiveSmallIntegerField(help_text="Functional ploidy used in kinship: 2, 4, 6 or 8.")
    double_reduction = models.DecimalField(
        max_digits=5,
        decimal_places=4,
        default=0,
        help_text="Chance that two gene copies of one gamete are copies of the same gene of the parent.",
    )
    reason = models.TextField(help_text="Who decided it and on what evidence, or where it is printed.")

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["stock"], condition=models.Q(withdrawn__isnull=True), name="one_inheritance_a_stock"
            ),
            models.CheckConstraint(condition=models.Q(ploidy__in=[2, 4, 6, 8]), name="stock_ploidy_even"),
            models.CheckConstraint(
                condition=models.Q(double_reduction=0)
                | models.Q(ploidy__gt=2, double_reduction__gt=0, double_reduction__lte=1),
                name="double_reduction_of_polyploids_only",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.stock}: {self.ploidy} gene copies, double reduction {self.double_reduction:g}"


class FounderSet(Record):
    """That founders of a stock are related, as markers have shown; a later set withdraws the earlier."""

    stock = models.ForeignKey(Stock, on_delete=models.PROTECT, related_name="founder_sets")
    source = models.TextField(help_text="Who estimated it, by how many loci and which method, or where it is printed.")

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["stock"], condition=models.Q(withdrawn__isnull=True), name="one_founder_set_a_stock"
            ),
        ]

    def __str__(self) -> str:
        return f"founders of {self.stock}"


class FounderPair(Record):
    """Kinship of two founders of a set, or of one with itself, as it was given."""

    founders = models.ForeignKey(FounderSet, on_delete=models.PROTECT, related_name="pairs")
    one = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="+")
    other = models.ForeignKey("registry.Fish", on_delete=models.PROTECT, related_name="+")
    kinship = models.DecimalField(max_digits=9, decimal_places=8)

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["founders", "one", "other"],
                condition=models.Q(withdrawn__isnull=True),
                name="founder_pair_once_in_set",
            ),
            models.CheckConstraint(
                condition=models.Q(kinship__gte=0, kinship__lte=1), name="founder_kinship_from_0_to_1"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.one} and {self.other}: {self.kinship:f}"


class PolicyFigure(Record):
    """A figure that rules use, with its source; a later row for the same key supersedes it from its day on."""

    key = models.SlugField(max_length=60)
    value = models.DecimalField(max_digits=14, decimal_places=6)
    unit = models.CharField(max_length=30, blank=True)
    meaning = models.TextField()
    source = models.TextField()
    in_force_from = models.DateField()

    class Meta(Record.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["key", "in_force_from"],
                condition=models.Q(withdrawn__isnull=True),
                name="one_policy_figure_a_day",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.key} = {self.value.normalize():f} {self.unit}".strip()


class MaturityStage(Record):
    """One stage of a maturity scale; `ripe` says that a fish at this stage can be spawned this season."""

    scale = models.SlugField(max_length=40)
    key = models.CharField(max_length=10)
    order = models.PositiveSmallIntegerField()
    meaning = models.CharField(max_length=200)
    ripe = models.BooleanField()
    source = models.TextField()

    class Meta(Record.Meta):
        ordering = ["scale", "order"]
        constraints = [models.UniqueConstraint(fields=["scale", "key"], name="stage_once_in_scale")]

    def __str__(self) -> str:
        return self.key
