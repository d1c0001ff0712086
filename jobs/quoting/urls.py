"""Addresses of the quoting slice."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
