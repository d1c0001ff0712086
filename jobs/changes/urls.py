"""Addresses of the changes slice."""

from django.urls import path

from jobs.changes import views

CHANGE = "jobs/<str:number>/changes/<int:change>/"
STAGE = "jobs/<str:number>/units/<str:unit>/stages/<str:code>/"

urlpatterns = [
    path(CHANGE + "effect/", views.change_effect, name="change_effect"),
    path(CHANGE + "effect/add/", views.change_edit_add, name="change_edit_add"),
    path(CHANGE + "effect/<int:place>/drop/", views.change_edit_drop, name="change_edit_drop"),
    path(CHANGE + "apply/", views.change_apply, name="change_apply"),
    path(STAGE + "change/", views.change_raise, name="change_raise"),
]
