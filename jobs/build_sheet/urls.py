"""Addresses of the build sheet slice."""

from django.urls import path

from jobs.build_sheet import (
    calculation_views,
    cell_views,
    design_views,
    logic_views,
    part_views,
    picture_views,
    row_views,
    rule_views,
    sizing_views,
    trace_views,
    views,
    weight_views,
)
from jobs.build_sheet.control.urls import urlpatterns as control_urls
from jobs.build_sheet.drafting.urls import urlpatterns as drafting_urls
from jobs.build_sheet.exchange import import_views
from jobs.build_sheet.exchange import views as exchange_views

JOB = "jobs/<str:number>/"
REVISION = JOB + "design/<int:revision>/"

urlpatterns = [
    path(JOB + "build/", views.build_sheet, name="build_sheet"),
    path(JOB + "build.<str:ending>", exchange_views.build_export, name="build_export"),
    path(JOB + "build/import/", import_views.build_import, name="build_import"),
    path(
        JOB + "build/import/<int:import_id>/",
        import_views.build_import_check,
        name="build_import_check",
    ),
    path(
        JOB + "build/import/<int:import_id>/apply/",
        import_views.build_import_apply,
        name="build_import_apply",
    ),
    path(JOB + "circuits/", design_views.circuit_list, name="circuit_list"),
    path(JOB + "circuits/<int:row_id>/row/", cell_views.circuit_row, name="circuit_row"),
    path(JOB + "circuits/<int:row_id>/sizing/", sizing_views.circuit_sizing, name="circuit_sizing"),
    path(
        JOB + "circuits/<int:row_id>/sizing/apply/", sizing_views.sizing_apply, name="sizing_apply"
    ),
    path(
        JOB + "circuits/sizing/<int:change_id>/undo/", sizing_views.sizing_undo, name="sizing_undo"
    ),
    path(JOB + "circuits/accept/", design_views.finding_accept, name="finding_accept"),
    path(JOB + "single-line/", picture_views.single_line, name="single_line"),
    path(JOB + "zones/", picture_views.zone_plan, name="zone_plan"),
    path(JOB + "trace/", trace_views.trace_list, name="trace_list"),
    # A reference may hold any letter, also a slash.
    path(JOB + "trace/<slug:kind>/<path:ref>/", trace_views.trace_detail, name="trace_detail"),
    path(JOB + "rules/", rule_views.rule_set, name="rule_set"),
    path(JOB + "rules/choose/", rule_views.rule_set_choose, name="rule_set_choose"),
    path(JOB + "ac/", rule_views.ac_side, name="ac_side"),
    path("parts/<str:code>/jobs/", part_views.part_effect, name="part_effect"),
    path("parts/<str:code>/jobs/<str:number>/take/", part_views.part_take, name="part_take"),
    path(JOB + "modes/", design_views.mode_list, name="mode_list"),
    path(JOB + "modes/<slug:key>/duty/", design_views.mode_duty, name="mode_duty"),
    path(JOB + "logic/", logic_views.logic_list, name="logic_list"),
    path(JOB + "logic/add/", logic_views.logic_add, name="logic_add"),
    *control_urls,
    *drafting_urls,
    path(JOB + "logic/<str:version>/", logic_views.logic_detail, name="logic_detail"),
    path(JOB + "weight/", weight_views.weight_sheet, name="weight_sheet"),
    path(JOB + "weight/<slug:kind>/<int:row_id>/row/", weight_views.weight_row, name="weight_row"),
    path(JOB + "design/keep/", design_views.design_keep, name="design_keep"),
    path(
        REVISION + "calculation/print/",
        calculation_views.calculation_print,
        name="calculation_print",
    ),
    path(
        REVISION + "calculation/", calculation_views.calculation_status, name="calculation_status"
    ),
    path(REVISION + "calculation.pdf", calculation_views.calculation_pdf, name="calculation_pdf"),
    path(REVISION, design_views.design_revision, name="design_revision"),
    path(
        JOB + "design/<int:revision>/release/", design_views.design_release, name="design_release"
    ),
    path(JOB + "build/quote/", views.quote_draft, name="quote_draft"),
    path(JOB + "rows/<slug:kind>/add/", row_views.row_add, name="row_add"),
    path(JOB + "rows/<slug:kind>/<int:row_id>/", row_views.row_edit, name="row_edit"),
    path(JOB + "rows/<slug:kind>/<int:row_id>/remove/", row_views.row_remove, name="row_remove"),
]
