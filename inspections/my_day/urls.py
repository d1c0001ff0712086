"""Addresses of the my_day slice."""

from django.urls import path

from inspections.my_day import views

urlpatterns = [
    path("", views.my_day, name="my_day"),
]
