"""Addresses of the catalog."""

from django.urls import URLPattern

app_name = "catalog"
urlpatterns: list[URLPattern] = []
