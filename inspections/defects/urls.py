"""Addresses of the defects slice."""

from django.urls import path

from inspections.defects import views

UNIT = "jobs/<str:number>/units/<str:unit>/defects/"

urlpatterns = [
    path(UNIT, views.defect_list, name="defect_list"),
    path(UNIT + "<int:defect>/", views.defect_detail, name="defect_detail"),
    path(UNIT + "<int:defect>/rework/", views.defect_rework, name="defect_rework"),
    path(UNIT + "<int:defect>/contain/", views.defect_contain, name="defect_contain"),
    path(UNIT + "<int:defect>/concede/", views.defect_concede, name="defect_concede"),
]
