"""What every page's frame shows."""

from typing import Any

from django.http import HttpRequest


def frame(request: HttpRequest) -> dict[str, Any]:
    """Return the frame's variables."""
    return {}
