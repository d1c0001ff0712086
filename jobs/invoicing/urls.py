"""Addresses of the invoicing slice."""

from django.urls import path

from jobs.invoicing import views

JOB = "jobs/<str:number>/money/"
INVOICE = "invoices/<str:invoice>/"

urlpatterns = [
    path("invoices/", views.invoice_list, name="invoice_list"),
    path("invoices/export.csv", views.invoice_export, name="invoice_export"),
    path(INVOICE, views.invoice_detail, name="invoice_detail"),
    path(INVOICE + "pdf/", views.invoice_pdf, name="invoice_pdf"),
    path(INVOICE + "pdf/status/", views.invoice_pdf_status, name="invoice_pdf_status"),
    path(JOB, views.job_money, name="job_money"),
    path(JOB + "deposit/", views.invoice_deposit, name="invoice_deposit"),
    path(JOB + "balance/", views.invoice_balance, name="invoice_balance"),
    path(JOB + "units/<str:unit>/", views.invoice_unit, name="invoice_unit"),
]
