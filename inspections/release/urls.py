"""Addresses of the release slice."""

from django.urls import path

from inspections.release import logic_views, views

UNIT = "jobs/<str:number>/units/<str:unit>/"

urlpatterns = [
    path(
        "jobs/<str:number>/logic/<str:version>/release/",
        logic_views.logic_release,
        name="logic_release",
    ),
    path(UNIT + "stages/<str:code>/sign/", views.stage_sign, name="stage_sign"),
    path(UNIT + "release/", views.release_unit, name="release_unit"),
]
