"""Addresses of the stages slice."""

from django.urls import path

from jobs.stages import views

UNIT = "jobs/<str:number>/units/<str:unit>/stages/"
STAGE = UNIT + "<str:code>/"

urlpatterns = [
    path("stages/", views.stage_board, name="stage_board"),
    path("jobs/<str:number>/stages/", views.job_stages, name="job_stages"),
    path(UNIT + "plan/", views.stages_plan, name="stages_plan"),
    path(STAGE, views.stage_detail, name="stage_detail"),
    path(STAGE + "plan/", views.stage_plan, name="stage_plan"),
    path(STAGE + "work/<str:move>/", views.stage_work, name="stage_work"),
    path(STAGE + "finish/", views.stage_finish, name="stage_finish"),
    path(STAGE + "drawing/", views.stage_drawing, name="stage_drawing"),
    path(STAGE + "reopen/", views.stage_reopen, name="stage_reopen"),
    path(STAGE + "holds/<str:hold>/", views.hold_release, name="hold_release"),
]
