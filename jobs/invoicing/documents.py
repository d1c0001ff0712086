"""The PDF of an invoice, frozen when it is issued."""

from typing import Any

from jobs.documents.actions import request_document
from jobs.documents.frame import frame
from jobs.documents.models import Document
from jobs.invoicing.models import Invoice
from jobs.people.models import Shop
from jobs.quoting.words import day_words


def request_invoice_pdf(invoice: Invoice) -> Document:
    shop, job = Shop.objects.get(pk=1), invoice.job
    title = f"Invoice {invoice.number}"
    data: dict[str, Any] = {
        "title_block": [
            {"label": "Job", "value": job.number, "mono": True},
            {"label": "Work", "value": job.title, "mono": False},
            {"label": "Invoice", "value": invoice.number, "mono": True},
            {"label": "Date", "value": day_words(invoice.issued_on), "mono": False},
        ],
        "facts": [
            {"label": "Unit", "value": str(invoice.unit) if invoice.unit else "whole job"},
            {"label": "VIN", "value": invoice.unit.vin if invoice.unit else "–"},
            {"label": "Your order", "value": invoice.order_number or "none named"},
            {"label": "Due", "value": day_words(invoice.due_on)},
        ],
        "lines": [{"words": words, "cents": cents} for words, cents in invoice.lines],
        "due_cents": invoice.due_cents,
        "shop": {"name": shop.name, "phone": shop.phone, "email": shop.email},
        "shop_address": shop.address,
        "agency": job.agency.name,
        "bill_to": invoice.bill_to,
    }
    return request_document(
        kind="invoice",
        title=title,
        file_name=f"{invoice.number}.pdf",
        sections=[
            {
                "key": "invoice",
                "title": title,
                "template": "jobs/invoicing/pdf/invoice.html",
                "data": data,
            }
        ],
        frame=frame(
            page_size=shop.page_size, mark=f"Job {job.number} · {title}", state="INVOICE",
            draft=False,
        ),
    )  # fmt: skip
