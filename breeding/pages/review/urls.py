"""/plans/NUMBER/…: the steps of a plan's way."""

from django.urls import path

from breeding.pages.review.steps import STEPS, PlanStep

urlpatterns = [
    path(f"plans/<path:number>/{step}/", PlanStep.as_view(step=step), name=f"plan_{step.replace('-', '_')}")
    for step in STEPS
]
