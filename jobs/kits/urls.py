"""Addresses of the kits slice."""

from django.urls import path

from jobs.kits import views

JOB = "jobs/<str:number>/"

urlpatterns = [
    path("kits/", views.kit_list, name="kit_list"),
    path("kits/<str:code>/", views.kit_detail, name="kit_detail"),
    path("kits/<str:code>/retire/", views.kit_retire, name="kit_retire"),
    path(JOB + "kits/", views.job_kits, name="job_kits"),
    path(JOB + "kits/add/", views.kit_add, name="kit_add"),
    path(JOB + "kits/new/", views.kit_new, name="kit_new"),
    path(JOB + "build/start/", views.build_start, name="build_start"),
    path(JOB + "build/against/<str:other>/", views.build_compare, name="build_compare"),
]
