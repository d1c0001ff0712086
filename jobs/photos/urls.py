"""Addresses of the photos slice."""

from django.urls import path

from jobs.photos.views import photo_original, photo_preview

urlpatterns = [
    path("photos/<str:sha256>/original/", photo_original, name="photo_original"),
    path("photos/<str:sha256>/<int:size>/", photo_preview, name="photo_preview"),
]
