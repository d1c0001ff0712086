"""Addresses of the notices slice."""

from django.urls import path

from jobs.notices import views

urlpatterns = [
    path("notices/", views.notice_list, name="notice_list"),
    path("notices/<int:notice>/", views.notice_detail, name="notice_detail"),
    path("notices/<int:notice>/again/", views.notice_again, name="notice_again"),
    path("notices/preview/<str:kind>/", views.notice_preview, name="notice_preview"),
]
