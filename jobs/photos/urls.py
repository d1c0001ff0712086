"""Addresses of the photos slice."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
