"""Addresses of the health slice."""

from django.urls import path

from jobs.health import views

urlpatterns = [path("readyz", views.readyz, name="readyz")]
