"""Addresses of the handover slice."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
