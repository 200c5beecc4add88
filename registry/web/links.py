"""Addresses of records by their number; empty where the site has no page for that kind."""

from django.urls import NoReverseMatch, reverse


def address(page: str, *number: object) -> str:
    """Return the address of a page, or "" when there is none (yet) or the number is missing."""
    if any(part in (None, "") for part in number):
        return ""
    try:
        return reverse(page, args=[str(part) for part in number])
    except NoReverseMatch:
        return ""
