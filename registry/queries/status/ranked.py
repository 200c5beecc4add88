"""The living of a stock in order of mean kinship, read a page at a time."""

from collections import Counter, defaultdict
from collections.abc import Hashable, Sequence
from typing import Any

import numpy as np
from django.db.models import Count

from registry.models import FishDetails, Stock
from registry.queries.chunks import chunks
from registry.queries.status.figures import Status

Row = dict[str, Any]


class Ranked(Sequence[Row]):
    """Living fish from the lowest mean kinship up; a slice reads only its own rows, in two or three queries.

    Fish of equal mean kinship stand together by family and register number, so that no page skips or repeats one.
    """

    def __init__(self, stock: Stock, status: Status, sex: str = "") -> None:
        self.stock, self.sex = stock, sex
        self.figures = dict(
            zip(status.living, zip(status.mean_kinship.tolist(), status.inbreeding.tolist(), strict=True), strict=True)
        )
        counts = _of_sex(stock, status, sex) if sex else status.living
        self.names = sorted(counts, key=lambda name: (round(self.figures[name][0], 12), str(name)))
        self.ends = np.cumsum([counts[name] for name in self.names], dtype=int)

    def __len__(self) -> int:
        return int(self.ends[-1]) if len(self.ends) else 0

    def __getitem__(self, wanted: Any) -> Any:
        start, stop, _ = wanted.indices(len(self))
        if stop <= start:
            return []
        first, last = np.searchsorted(self.ends, [start, stop - 1], side="right")
        names = self.names[first : last + 1]
        before = int(self.ends[first - 1]) if first else 0
        keys = [key for name in self._fish_of(names) for key in name][start - before : stop - before]
        return self._rows(keys, start + 1)

    def _fish_of(self, names: list[Hashable]) -> list[list[int]]:
        """Return the keys of the fish of each name, in order of their numbers."""
        sibs: dict[Hashable, list[int]] = defaultdict(list)
        rows = self._living().order_by("fish__number")
        for part in chunks(name[1] for name in names if isinstance(name, tuple)):
            for parentage, fish in rows.filter(parentage__in=part).values_list("parentage_id", "fish_id"):
                if fish not in self.figures:
                    sibs["sibs", parentage].append(fish)
        return [sibs[name] if isinstance(name, tuple) else [name] for name in names]  # type: ignore[list-item]

    def _living(self) -> Any:
        rows = FishDetails.objects.current().filter(stock=self.stock, left="")
        return rows.filter(sex=self.sex) if self.sex else rows

    def _rows(self, keys: list[int], place: int) -> list[Row]:
        rows = FishDetails.objects.current().filter(fish__in=keys).select_related("fish", "family")
        details = {row.fish_id: row for row in rows}
        found = []
        for number, key in enumerate(keys, start=place):
            row = details[key]
            name = key if key in self.figures else ("sibs", row.parentage_id)
            mean, inbreeding = self.figures[name]
            found.append({"place": number, "details": row, "mean_kinship": mean, "inbreeding": inbreeding})
        return found


def _of_sex(stock: Stock, status: Status, sex: str) -> dict[Hashable, int]:
    """Return the living of one sex by name."""
    rows = FishDetails.objects.current().filter(stock=stock, left="", sex=sex)
    counts: Counter[Hashable] = Counter()
    grouped = rows.filter(parentage__isnull=False).values_list("parentage_id").annotate(n=Count("pk")).order_by()
    counts.update({("sibs", parentage): n for parentage, n in grouped})
    for part in chunks(name for name in status.living if isinstance(name, int)):
        for fish, parentage in rows.filter(fish__in=part).values_list("fish_id", "parentage_id"):
            counts[fish] = 1
            if parentage:
                counts["sibs", parentage] -= 1
    return {name: n for name, n in counts.items() if n > 0}
