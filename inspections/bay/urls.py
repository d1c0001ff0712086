"""Addresses of the bay."""

from django.urls import path

from inspections.bay import instrument_views, template_views, views

UNIT = "jobs/<str:number>/units/<str:unit>/checks/"

urlpatterns = [
    path("instruments/", instrument_views.instrument_list, name="instrument_list"),
    path("instruments/new/", instrument_views.instrument_new, name="instrument_new"),
    path(
        "instruments/<int:instrument_id>/",
        instrument_views.instrument_edit,
        name="instrument_edit",
    ),
    path("check-templates/", template_views.check_template_list, name="check_template_list"),
    path("check-templates/new/", template_views.check_template_new, name="check_template_new"),
    path(
        "check-templates/<str:code>/",
        template_views.check_template_edit,
        name="check_template_edit",
    ),
    path(UNIT, views.check_list, name="check_list"),
    path(UNIT + "generate/", views.checks_generate, name="checks_generate"),
    path(UNIT + "<str:ref>/", views.check_detail, name="check_detail"),
    path(UNIT + "<str:ref>/undo/", views.check_undo, name="check_undo"),
]
