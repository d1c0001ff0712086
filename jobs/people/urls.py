"""Addresses of the people slice."""

from django.urls import path

from jobs.people import style, tablet_views, views

urlpatterns = [
    path("first/", views.first_run, name="first_run"),
    path("healthz", views.healthz, name="healthz"),
    path("in/", views.sign_in, name="sign_in"),
    path("out/", views.sign_out, name="sign_out"),
    path("mode/", views.set_mode, name="set_mode"),
    path("me/", views.own_account, name="own_account"),
    path("me/pin/", tablet_views.own_pin, name="own_pin"),
    # tablets/
    path("tablets/", tablet_views.tablet_list, name="tablet_list"),
    path("tablets/enrol/", tablet_views.tablet_enrol, name="tablet_enrol"),
    path("tablets/<int:tablet_id>/withdraw/", tablet_views.tablet_revoke, name="tablet_revoke"),
    path("tablet/", tablet_views.tablet_people, name="tablet_people"),
    path("tablet/<int:person_id>/", tablet_views.tablet_pin, name="tablet_pin"),
    # people/
    path("people/", views.people_list, name="people_list"),
    path("people/new/", views.person_new, name="person_new"),
    path("people/<int:person_id>/", views.person_edit, name="person_edit"),
    path("people/<int:person_id>/passphrase/", views.person_passphrase, name="person_passphrase"),
    path("shop/", views.shop_settings, name="shop_settings"),
    # style/
    path("style/", style.style_sheet, name="style_sheet"),
    path("style/bay/", style.style_bay, name="style_bay"),
]
