"""Addresses of the stages slice."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
