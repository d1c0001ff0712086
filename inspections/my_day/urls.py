"""Addresses of the my_day slice."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
