"""Addresses of the catalog. Part codes are in capitals, so no code hides a word below."""

from django.urls import path

from catalog import sheet_views, views

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
    path("<str:code>/", views.part_detail, name="part_detail"),
    path("<str:code>/edit/", views.part_edit, name="part_edit"),
    path("<str:code>/retire/", views.part_retire, name="part_retire"),
    path("<str:code>/restore/", views.part_restore, name="part_restore"),
    path("<str:code>/revisions/<int:number>/", views.part_revision, name="part_revision"),
]
