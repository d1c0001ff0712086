"""Addresses after delivery: the label's page, cases, campaigns."""

from django.urls import path

from inspections.service import case_views, removal_views, views

UNIT = "jobs/<str:number>/units/<str:unit>/"
CASE = UNIT + "cases/<int:case>/"

urlpatterns = [
    path("a/<str:code>/", views.as_built_scan, name="as_built_scan"),
    path("service/", case_views.service, name="service"),
    path(UNIT + "as-built/", views.as_built, name="as_built"),
    path(UNIT + "as-built/<path:ref>/", views.as_built_circuit, name="as_built_circuit"),
    path(UNIT + "cases/", case_views.case_list, name="case_list"),
    path(CASE, case_views.case_detail, name="case_detail"),
    path(CASE + "write/", case_views.case_write, name="case_write"),
    path(CASE + "swap/", case_views.case_swap, name="case_swap"),
    path(CASE + "change/", case_views.case_change, name="case_change"),
    path(CASE + "close/", case_views.case_close, name="case_close"),
    path(UNIT + "removal/", removal_views.removal, name="removal"),
    path(UNIT + "removal/begin/", removal_views.removal_begin, name="removal_begin"),
    path(UNIT + "removal/finish/", removal_views.removal_finish, name="removal_finish"),
    path(UNIT + "removal/<int:item>/", removal_views.removal_item, name="removal_item"),
]
