"""Addresses of the fleet slice."""

from django.urls import path

from jobs.fleet import views

FLEET = "jobs/<str:number>/fleet/"

urlpatterns = [
    path(FLEET, views.fleet, name="fleet"),
    path(FLEET + "units/", views.fleet_units, name="fleet_units"),
    path(FLEET + "differences/", views.fleet_difference, name="fleet_difference"),
    path(FLEET + "differences/<int:difference>/remove/", views.fleet_same, name="fleet_same"),
]
