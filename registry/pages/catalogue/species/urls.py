"""/species/ …, /determinations/ …, and what is entered and corrected of them."""

from django.urls import path

from registry.pages.catalogue.species.changes import (
    AddName,
    ChangeFigure,
    ChangeLooks,
    OpenSpecies,
    SetStanding,
    TakeNameBack,
)
from registry.pages.catalogue.species.compare import compare
from registry.pages.catalogue.species.determine import determine
from registry.pages.catalogue.species.keep import Keep, TakeBack, TakeOver, determination
from registry.pages.catalogue.species.lists import DeterminationList, SpeciesList
from registry.pages.catalogue.species.species import species

urlpatterns = [
    path("species/", SpeciesList.as_view(), name="species_list"),
    path("species/determine/", determine, name="species_determine"),
    path("species/compare/", compare, name="species_compare"),
    path("species/<slug:key>/", species, name="species"),
    path("determinations/", DeterminationList.as_view(), name="determination_list"),
    path("determinations/<int:pk>/", determination, name="determination"),
    path("enter/determination/", Keep.as_view(), name="determination_enter"),
    path("enter/species/", OpenSpecies.as_view(), name="species_open"),
    path("enter/species-name/", AddName.as_view(), name="species_name_add"),
    path("enter/river-standing/", SetStanding.as_view(), name="river_standing_set"),
    path("correct/species-of-fish/<int:pk>/", TakeOver.as_view(), name="determination_take_over"),
    path("correct/determination/<int:pk>/", TakeBack.as_view(), name="determination_take_back"),
    path("correct/species-name/<int:pk>/", TakeNameBack.as_view(), name="species_name_take_back"),
    path("correct/species/<slug:key>/figure/<slug:figure>/", ChangeFigure.as_view(), name="species_figure_change"),
    path("correct/species/<slug:key>/look/<slug:character>/", ChangeLooks.as_view(), name="species_looks_change"),
]
