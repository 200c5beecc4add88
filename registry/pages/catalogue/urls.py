"""/stocks/, /species/, /figures/"""

from django.urls import path

from registry.pages.catalogue.entries import OpenStock, SetFigure, SetInheritance
from registry.pages.catalogue.lists import FigureList, SpeciesList, StockList

urlpatterns = [
    path("stocks/", StockList.as_view(), name="stock_list"),
    path("species/", SpeciesList.as_view(), name="species_list"),
    path("figures/", FigureList.as_view(), name="figure_list"),
    path("enter/stock/", OpenStock.as_view(), name="stock_open"),
    path("enter/inheritance/", SetInheritance.as_view(), name="stock_inherits"),
    path("enter/figure/", SetFigure.as_view(), name="figure_set"),
]
