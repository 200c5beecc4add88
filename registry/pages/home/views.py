"""What needs doing today, by role."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def home(request: HttpRequest) -> HttpResponse:
    """Show what is due for the roles of the person."""
    return render(request, "registry/home/home.html", {"title": "Today"})
