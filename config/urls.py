"""All addresses: one visible list of includes."""

from django.urls import include, path

handler500 = "jobs.health.views.server_error"

urlpatterns = [
    path("", include("inspections.urls")),
    path("parts/", include("catalog.urls")),
    path("", include("jobs.urls")),
]
