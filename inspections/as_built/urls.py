"""Addresses of the finished vehicle: places, origins, small documents."""

from django.urls import path

from inspections.as_built import sheet_views, views

UNIT = "jobs/<str:number>/units/<str:unit>/"
PLACE = UNIT + "places/<str:ref>/"

SHEET = UNIT + "sheets/<str:key>/"

urlpatterns = [
    path(UNIT + "sheets/", sheet_views.sheet_list, name="sheet_list"),
    path(SHEET, sheet_views.sheet_status, name="sheet_status"),
    path(SHEET + "print/", sheet_views.sheet_print, name="sheet_print"),
    path(SHEET + "file/", sheet_views.sheet_file, name="sheet_file"),
    path(UNIT + "places/", views.place_list, name="place_list"),
    path(UNIT + "places/new/", views.place_new, name="place_new"),
    path(UNIT + "origins/new/", views.origin_new, name="origin_new"),
    path(PLACE, views.place_detail, name="place_detail"),
    path(PLACE + "photos/", views.place_photos, name="place_photos"),
    path(PLACE + "pins/", views.place_pins, name="place_pins"),
    path(PLACE + "photos/<int:photo_id>/show/", views.place_photo_show, name="place_photo_show"),
]
