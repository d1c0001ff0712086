"""Addresses where a version of the control logic is tried and looked at."""

from django.urls import path

from jobs.build_sheet.control import answer_views, fit_views, guide_views, views

VERSION = "jobs/<str:number>/logic/<str:version>/"

urlpatterns = [
    path(VERSION + "simulator/", views.logic_simulator, name="logic_simulator"),
    path(VERSION + "heads/", answer_views.logic_heads, name="logic_heads"),
    path(VERSION + "faults/", answer_views.logic_faults, name="logic_faults"),
    path(VERSION + "nodes/", fit_views.logic_fit, name="logic_fit"),
    path(VERSION + "nodes.<str:ending>", fit_views.logic_table, name="logic_table"),
    path(VERSION + "guide/", guide_views.logic_guide, name="logic_guide"),
    path(VERSION + "guide/print/", guide_views.guide_print, name="guide_print"),
    path(VERSION + "guide/status/", guide_views.guide_status, name="guide_status"),
    path(VERSION + "guide.pdf", guide_views.guide_pdf, name="guide_pdf"),
]
