"""Addresses of inspections: each slice brings its own list."""

from django.urls import include, path

app_name = "inspections"
urlpatterns = [
    path("", include("inspections.my_day.urls")),
    path("", include("inspections.bay.urls")),
    path("", include("inspections.defects.urls")),
    path("", include("inspections.decisions.urls")),
    path("", include("inspections.sync.urls")),
    path("", include("inspections.release.urls")),
    path("", include("inspections.as_built.urls")),
    path("", include("inspections.manuals.urls")),
    path("", include("inspections.handover.urls")),
    path("", include("inspections.service.urls")),
]
