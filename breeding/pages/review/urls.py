"""/plans/NUMBER/…: the steps of a plan's way, its history, and what became of it."""

from django.urls import path

from breeding.pages.review.steps import STEPS, PlanStep
from breeding.pages.review.views import history, outcome

urlpatterns = [
    path(f"plans/<path:number>/{step}/", PlanStep.as_view(step=step), name=f"plan_{step.replace('-', '_')}")
    for step in STEPS
]
urlpatterns += [
    path("plans/<path:number>/history/", history, name="plan_history"),
    path("plans/<path:number>/outcome/", outcome, name="plan_outcome"),
]
