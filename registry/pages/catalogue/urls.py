"""/stocks/, /figures/, and the species' own addresses."""

from django.urls import path

from registry.pages.catalogue.entries import OpenStock, SetFigure, SetInheritance
from registry.pages.catalogue.founders import RelateFounders
from registry.pages.catalogue.lists import FigureList, StockList
from registry.pages.catalogue.species.urls import urlpatterns as species

urlpatterns = [
    *species,
    path("stocks/", StockList.as_view(), name="stock_list"),
    path("figures/", FigureList.as_view(), name="figure_list"),
    path("enter/stock/", OpenStock.as_view(), name="stock_open"),
    path("enter/inheritance/", SetInheritance.as_view(), name="stock_inherits"),
    path("enter/founders/", RelateFounders.as_view(), name="founders_related"),
    path("enter/figure/", SetFigure.as_view(), name="figure_set"),
]
