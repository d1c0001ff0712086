"""Addresses of the intake slice."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
