"""Addresses of the handover slice."""

from django.urls import path

from inspections.handover import customer, views

UNIT = "jobs/<str:number>/units/<str:unit>/"
PACKET = UNIT + "packet/"

urlpatterns = [
    path(PACKET, views.packet_detail, name="packet_detail"),
    path(PACKET + "build/", views.packet_build, name="packet_build"),
    path(PACKET + "send/", views.packet_send, name="packet_send"),
    path(
        PACKET + "links/<int:link_id>/revoke/", views.packet_link_revoke, name="packet_link_revoke"
    ),
    path(PACKET + "<int:revision>/status/", views.packet_status, name="packet_status"),
    path(PACKET + "<int:revision>/file/", views.packet_file, name="packet_file"),
    path(UNIT + "receipt/", views.receipt_record, name="receipt_record"),
    path(UNIT + "training/", views.training_record, name="training_record"),
    path(UNIT + "items/new/", views.item_new, name="item_new"),
    path(UNIT + "items/<int:item_id>/", views.item_edit, name="item_edit"),
    path(UNIT + "items/<int:item_id>/close/", views.item_close, name="item_close"),
    path("p/<str:token>/", customer.packet_open, name="packet_open"),
    path("p/<str:token>/file/", customer.packet_open_file, name="packet_open_file"),
    path("p/<str:token>/papers/<str:key>/", customer.packet_paper, name="packet_paper"),
    path(
        "p/<str:token>/photos/<int:photo_id>/<int:size>/",
        customer.packet_photo,
        name="packet_photo",
    ),
    path("p/<str:token>/training/<int:training_id>/", customer.training_sign, name="training_sign"),
]
