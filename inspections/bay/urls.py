"""Addresses of the bay."""

from django.urls import path

from inspections.bay import views

UNIT = "jobs/<str:number>/units/<str:unit>/checks/"

urlpatterns = [
    path(UNIT, views.check_list, name="check_list"),
    path(UNIT + "generate/", views.checks_generate, name="checks_generate"),
    path(UNIT + "<str:ref>/", views.check_detail, name="check_detail"),
    path(UNIT + "<str:ref>/undo/", views.check_undo, name="check_undo"),
]
