"""Figures kept under the name of what they were computed from, so that none is ever shown after that has changed."""

from collections.abc import Callable
from typing import TypeVar

from django.core.cache import cache
from django.utils import timezone

from registry.models import Stock
from registry.queries.status.figures import Status, status_of
from registry.queries.status.revision import pedigree_revision

Found = TypeVar("Found")
A_DAY = 24 * 3600


def kept(what: str, compute: Callable[[], Found]) -> Found:
    """Return what was computed from this very state of the pedigree today, or compute it.

    The name is asked before anything is read: what is written meanwhile gives the figures another name, so that newer
    figures may be kept under an older name, which nobody asks for again, and never the other way round.
    """
    key = f"{what}:{pedigree_revision()}:{timezone.localdate()}"
    found = cache.get(key)
    if found is None:
        found = (compute(),)
        cache.set(key, found, A_DAY)
    return found[0]


def kept_status(stock: Stock, *, batches: bool = False) -> Status | None:
    """Return the status of a stock, computed once for each state of the pedigree."""
    return kept(f"status:{stock.pk}:{batches}", lambda: status_of(stock, batches=batches))
