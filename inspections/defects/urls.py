"""Addresses of the defects slice."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
