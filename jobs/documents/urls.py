"""Addresses of the documents slice."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
