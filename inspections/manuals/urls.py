"""Addresses of makers' documents, below their part."""

from django.urls import path

from inspections.manuals import views

MANUALS = "parts/<str:code>/documents/"

urlpatterns = [
    path(MANUALS, views.manual_list, name="manual_list"),
    path(MANUALS + "new/", views.manual_new, name="manual_new"),
    path(MANUALS + "<int:manual_id>/", views.manual_file, name="manual_file"),
    path(MANUALS + "<int:manual_id>/remove/", views.manual_remove, name="manual_remove"),
]
