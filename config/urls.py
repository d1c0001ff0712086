"""All addresses: one visible list of includes."""

from django.urls import include, path

urlpatterns = [
    path("", include("inspections.urls")),
    path("parts/", include("catalog.urls")),
    path("", include("jobs.urls")),
]
