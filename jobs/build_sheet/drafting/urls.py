"""Addresses of the logic editor, under a job's logic."""

from django.urls import path

from jobs.build_sheet.drafting import gate_views, usual_views, views

LOGIC = "jobs/<str:number>/logic/"
VERSION = LOGIC + "<str:version>/"
PART = VERSION + "<slug:part>/"

urlpatterns = [
    path(LOGIC + "start/", views.logic_start, name="logic_start"),
    path(VERSION + "sheet/", views.logic_sheet, name="logic_sheet"),
    path(VERSION + "discard/", views.logic_discard, name="logic_discard"),
    path(VERSION + "usual/", usual_views.usual_list, name="usual_list"),
    path(VERSION + "usual/<slug:key>/", usual_views.usual_add, name="usual_add"),
    path(VERSION + "gate/", gate_views.logic_gate, name="logic_gate"),
    path(VERSION + "gate/accept/", gate_views.risk_accept, name="risk_accept"),
    path(VERSION + "gate/progress/", gate_views.logic_progress, name="logic_progress"),
    path(PART + "add/", views.logic_entry_add, name="logic_entry_add"),
    path(PART + "try/", views.expression_try, name="expression_try"),
    # A rule's name may hold any letter, also a slash.
    path(PART + "change/<path:name>/", views.logic_entry, name="logic_entry"),
    path(PART + "remove/<path:name>/", views.logic_entry_remove, name="logic_entry_remove"),
]
