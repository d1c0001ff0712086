"""Addresses of the release slice."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
