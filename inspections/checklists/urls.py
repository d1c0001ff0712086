"""Addresses of the checklists slice."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
