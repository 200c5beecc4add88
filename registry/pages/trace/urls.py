"""/trace/"""

from django.urls import path

from registry.pages.trace.views import trace

urlpatterns = [path("trace/", trace, name="trace")]
