"""Addresses of the build_sheet slice."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
