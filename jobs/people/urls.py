"""Addresses of the people slice."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
