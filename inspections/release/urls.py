"""Addresses of the release slice."""

from django.urls import path

from inspections.release import views

UNIT = "jobs/<str:number>/units/<str:unit>/"

urlpatterns = [
    path(UNIT + "stages/<str:code>/sign/", views.stage_sign, name="stage_sign"),
    path(UNIT + "release/", views.release_unit, name="release_unit"),
]
