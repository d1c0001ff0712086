"""Addresses of the quoting slice."""

from django.urls import path

from jobs.quoting import (
    answer_views,
    change_views,
    line_views,
    order_views,
    price_views,
    public,
    views,
)

JOB = "jobs/<str:number>/"
QUOTE = JOB + "quotes/<str:revision>/"
ORDER = JOB + "orders/<int:order>/"
CHANGE = JOB + "changes/<int:change>/"

urlpatterns = [
    # q/: without an account
    path("q/", public.quote_shown, name="quote_shown"),
    path("q/approve/", public.quote_approve, name="quote_approve"),
    path("q/decline/", public.quote_decline, name="quote_decline"),
    path("q/pdf/", public.quote_shown_pdf, name="quote_shown_pdf"),
    path("q/<str:token>/", public.quote_open, name="quote_open"),
    # prices/: agreed beforehand
    path("prices/", price_views.price_terms, name="price_terms"),
    path("prices/<str:kind>/new/", price_views.price_term_new, name="price_term_new"),
    path("prices/<str:kind>/<int:row_id>/", price_views.price_term_edit, name="price_term_edit"),
    # jobs/<number>/quotes/
    path(JOB + "quotes/", views.quote_list, name="quote_list"),
    path(QUOTE, views.quote_detail, name="quote_detail"),
    path(QUOTE + "edit/", views.quote_edit, name="quote_edit"),
    path(QUOTE + "compare/<str:other>/", views.quote_compare, name="quote_compare"),
    path(QUOTE + "revise/", views.quote_revise, name="quote_revise"),
    path(QUOTE + "delete/", views.quote_delete, name="quote_delete"),
    path(QUOTE + "offer/", views.quote_offer, name="quote_offer"),
    path(QUOTE + "withdraw/", views.quote_withdraw, name="quote_withdraw"),
    path(QUOTE + "print/", views.quote_print, name="quote_print"),
    path(QUOTE + "pdf/", views.quote_pdf, name="quote_pdf"),
    path(QUOTE + "pdf/status/", views.quote_pdf_status, name="quote_pdf_status"),
    path(QUOTE + "lines/new/<str:kind>/", line_views.quote_line_new, name="quote_line_new"),
    path(QUOTE + "lines/<int:line>/", line_views.quote_line_edit, name="quote_line_edit"),
    path(
        QUOTE + "lines/<int:line>/remove/",
        line_views.quote_line_remove,
        name="quote_line_remove",
    ),
    path(QUOTE + "send/", answer_views.quote_send, name="quote_send"),
    path(QUOTE + "record/", answer_views.quote_record, name="quote_record"),
    # jobs/<number>/orders/
    path(JOB + "orders/new/", order_views.order_new, name="order_new"),
    path(ORDER, order_views.order_detail, name="order_detail"),
    path(ORDER + "edit/", order_views.order_edit, name="order_edit"),
    path(ORDER + "resolve/", order_views.order_resolve, name="order_resolve"),
    # jobs/<number>/changes/
    path(JOB + "changes/new/", change_views.change_new, name="change_new"),
    path(CHANGE, change_views.change_detail, name="change_detail"),
    path(CHANGE + "edit/", change_views.change_edit, name="change_edit"),
    path(CHANGE + "lines/new/", change_views.change_line_new, name="change_line_new"),
    path(
        CHANGE + "lines/<int:line>/remove/",
        change_views.change_line_remove,
        name="change_line_remove",
    ),
    path(CHANGE + "offer/", change_views.change_offer, name="change_offer"),
    path(CHANGE + "withdraw/", change_views.change_withdraw, name="change_withdraw"),
    path(CHANGE + "send/", change_views.change_send, name="change_send"),
    path(CHANGE + "record/", change_views.change_record, name="change_record"),
    path(CHANGE + "pdf/", change_views.change_pdf, name="change_pdf"),
    path(CHANGE + "pdf/status/", change_views.change_pdf_status, name="change_pdf_status"),
]
