"""Who is acting, from the request; and the view guard that names the roles that may."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from registry.errors import NotAllowed
from registry.models import RoleGrant
from registry.permissions import Actor, require

View = Callable[..., HttpResponse]


def actor(request: HttpRequest) -> Actor:
    """Return who acts, in the roles held today; read once for each request."""
    known: Actor | None = getattr(request, "_actor", None)
    if known is None:
        known = _actor(request)
        request._actor = known  # type: ignore[attr-defined]
    return known


def needs(permission: str) -> Callable[[View], View]:
    """Let only those through whose roles cover `permission`; others get a page that names the roles that may."""

    def guard(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            require_on_page(request, permission)
            return view(request, *args, **kwargs)

        return guarded

    return guard


def require_on_page(request: HttpRequest, permission: str) -> None:
    """Raise what becomes the 403 page when the person's roles do not cover `permission`."""
    try:
        require(actor(request), permission)
    except NotAllowed as refused:
        raise PermissionDenied(str(refused)) from refused


def _actor(request: HttpRequest) -> Actor:
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return Actor(None, "", frozenset(), "form")
    today = timezone.localdate()
    held = RoleGrant.objects.current().filter(
        Q(until__isnull=True) | Q(until__gt=today), user_id=user.pk, since__lte=today
    )
    return Actor(user.pk, user.get_username(), frozenset(held.values_list("role", flat=True)), "form")
