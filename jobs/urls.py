"""Addresses of jobs: each slice brings its own list."""

from django.urls import include, path

app_name = "jobs"
urlpatterns = [
    path("", include("jobs.health.urls")),
    path("", include("jobs.people.urls")),
    path("", include("jobs.photos.urls")),
    path("", include("jobs.documents.urls")),
    path("", include("jobs.notices.urls")),
    path("", include("jobs.intake.urls")),
    path("", include("jobs.quoting.urls")),
    path("", include("jobs.build_sheet.urls")),
    path("", include("jobs.kits.urls")),
    path("", include("jobs.coverage.urls")),
    path("", include("jobs.stages.urls")),
    path("", include("jobs.changes.urls")),
    path("", include("jobs.buying.urls")),
    path("", include("jobs.planning.urls")),
    path("", include("jobs.fleet.urls")),
    path("", include("jobs.search.urls")),
    path("", include("jobs.invoicing.urls")),
]
