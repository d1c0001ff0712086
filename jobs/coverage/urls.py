"""Addresses of the coverage slice."""

from django.urls import path

from jobs.coverage import views

JOB = "jobs/<str:number>/"
PROOF = JOB + "requirements/proof/"

urlpatterns = [
    path(PROOF, views.requirement_coverage, name="requirement_coverage"),
    path(PROOF + "link/", views.requirement_link, name="requirement_link"),
    path(PROOF + "<int:link>/unlink/", views.requirement_unlink, name="requirement_unlink"),
    path(JOB + "requirements/template/", views.requirement_template, name="requirement_template"),
    path(JOB + "intake/", views.intake_sheet, name="intake_sheet"),
]
