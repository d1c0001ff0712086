"""Addresses of the catalog. Part codes are in capitals, so no code hides a word below."""

from django.urls import path, register_converter
from django.urls.converters import StringConverter

from catalog import sheet_views, views


class CodeConverter(StringConverter):
    """Anything without a slash; NUL would make PostgreSQL refuse the question."""

    regex = r"[^/\x00]+"


register_converter(CodeConverter, "code")

app_name = "catalog"
urlpatterns = [
    path("", views.part_list, name="part_list"),
    path("new/", views.part_new, name="part_new"),
    # sheets
    path("template.<str:ending>", sheet_views.part_template, name="part_template"),
    path("export.<str:ending>", sheet_views.part_export, name="part_export"),
    path("import/", sheet_views.part_import, name="part_import"),
    path("import/<int:import_id>/", sheet_views.part_import_check, name="part_import_check"),
    path("import/<int:import_id>/apply/", sheet_views.part_import_apply, name="part_import_apply"),
    # <code>/
    path("<code:code>/", views.part_detail, name="part_detail"),
    path("<code:code>/edit/", views.part_edit, name="part_edit"),
    path("<code:code>/retire/", views.part_retire, name="part_retire"),
    path("<code:code>/restore/", views.part_restore, name="part_restore"),
    path("<code:code>/revisions/<int:number>/", views.part_revision, name="part_revision"),
]
