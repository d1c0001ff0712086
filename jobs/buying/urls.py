"""Addresses of the buying slice."""

from django.urls import path

from jobs.buying import job_views, views

PURCHASE = "buying/orders/<str:purchase>/"
JOB = "jobs/<str:number>/buying/"
PICK = JOB + "units/<str:unit>/<str:ref>/"

urlpatterns = [
    path("buying/", views.buying_list, name="buying_list"),
    path("buying/order/", views.buying_order, name="buying_order"),
    path("buying/suppliers/", views.supplier_list, name="supplier_list"),
    path("buying/suppliers/new/", views.supplier_new, name="supplier_new"),
    path("buying/suppliers/<int:supplier>/", views.supplier_edit, name="supplier_edit"),
    path("buying/stock/", views.stock_list, name="stock_list"),
    path("buying/stock/<str:code>/", views.stock_count, name="stock_count"),
    path("buying/orders/", views.purchase_list, name="purchase_list"),
    path(PURCHASE, views.purchase_detail, name="purchase_detail"),
    path(PURCHASE + "send/", views.purchase_send, name="purchase_send"),
    path(PURCHASE + "cancel/", views.purchase_cancel, name="purchase_cancel"),
    path(PURCHASE + "lines/<int:line>/", views.purchase_receive, name="purchase_receive"),
    path(JOB, job_views.job_buying, name="job_buying"),
    path(PICK, job_views.pick_line, name="pick_line"),
    path(PICK + "back/", job_views.put_back, name="put_back"),
    path(JOB + "<str:ref>/substitute/", job_views.substitute, name="substitute"),
]
