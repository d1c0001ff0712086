"""Addresses of the planning slice."""

from django.urls import path

from jobs.planning import views

urlpatterns = [
    path("planning/", views.plan_board, name="plan_board"),
    path("planning/make/", views.plan_make, name="plan_make"),
    path("planning/check/", views.plan_check, name="plan_check"),
    path("planning/plans/<int:run>/", views.plan_detail, name="plan_detail"),
    path("planning/plans/<int:run>/keep/", views.plan_keep, name="plan_keep"),
    path("planning/means/", views.plan_means, name="plan_means"),
    path("planning/means/hours/", views.plan_hours, name="plan_hours"),
    path("planning/means/<int:row_id>/", views.plan_means_edit, name="plan_means_edit"),
    path("planning/means/<int:row_id>/remove/", views.plan_means_remove, name="plan_means_remove"),
]
