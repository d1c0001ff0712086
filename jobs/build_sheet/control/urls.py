"""Addresses where a version of the control logic is tried and looked at."""

from django.urls import path

from jobs.build_sheet.control import views

VERSION = "jobs/<str:number>/logic/<str:version>/"

urlpatterns = [
    path(VERSION + "simulator/", views.logic_simulator, name="logic_simulator"),
    path(VERSION + "heads/", views.logic_heads, name="logic_heads"),
    path(VERSION + "faults/", views.logic_faults, name="logic_faults"),
]
