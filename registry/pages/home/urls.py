"""/"""

from django.urls import path

from registry.pages.home.views import home

urlpatterns = [path("", home, name="home")]
