"""Addresses of the decisions slice."""

from django.urls import path

from inspections.decisions import views

UNIT = "jobs/<str:number>/units/<str:unit>/"

urlpatterns = [
    path(UNIT + "decisions/", views.decision_list, name="decision_list"),
    path(UNIT + "decisions/<str:ref>/", views.check_decide, name="check_decide"),
]
