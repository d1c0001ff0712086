"""Addresses that tablets use by themselves, and the outbox."""

from django.urls import path

from inspections.sync import device_views, views

urlpatterns = [
    path("sync/", views.sync_state, name="sync_state"),
    path("sync/events/", views.sync_events, name="sync_events"),
    path("sync/photos/<str:sha256>/", views.sync_photo, name="sync_photo"),
    path("sw.js", device_views.service_worker, name="service_worker"),
    path("offline/", device_views.offline, name="offline"),
    path("outbox/", device_views.outbox, name="outbox"),
    path("outbox/unrecorded/", device_views.unrecorded_list, name="unrecorded_list"),
    path(
        "outbox/unrecorded/<uuid:client_id>/",
        device_views.unrecorded_set_aside,
        name="unrecorded_set_aside",
    ),
]
