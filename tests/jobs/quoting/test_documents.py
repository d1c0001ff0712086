"""The PDFs of quotes and changes."""

from io import BytesIO

import pikepdf
import pypdfium2
import pytest

from jobs.documents.files import document_path
from jobs.documents.tasks import drain_documents
from jobs.models import Document
from jobs.quoting.actions import draft_quote, edit_terms, revise_quote
from jobs.quoting.changes import draft_change, offer_change
from jobs.quoting.decisions import decide_quote, offer_quote
from jobs.quoting.documents import request_quote_pdf
from tests.factories import (
    make_approved_quote,
    make_draft_quote,
    make_exempt_agency,
    make_furnished_item,
    make_job,
)
from tests.jobs.quoting import rescue_van as van


def data_of(document: Document) -> dict:
    return document.context[0]["data"]


def test_nothing_internal_is_printed(manager):
    quote = make_draft_quote(by=manager)
    text = str(data_of(request_quote_pdf(quote))["sheet"]["totals"])
    assert "margin" not in text.lower()
    html_rows = data_of(request_quote_pdf(quote))["sheet"]["sections"][0]["rows"][0]
    assert "cost_cents" not in html_rows


def test_a_draft_says_that_it_is_no_offer(manager):
    document = request_quote_pdf(make_draft_quote(by=manager))
    assert document.frame["draft"] is True
    assert document.frame["state"] == "DRAFT, not an offer"


def test_the_printed_changes_add_up_to_the_difference(manager):
    quote = make_draft_quote(by=manager)
    offer_quote(quote=quote, version=quote.version, by=manager)
    new = revise_quote(quote=quote, by=manager, note="Cheaper")
    edit_terms(quote=new, version=new.version, by=manager, fields={"discount_bp": 1_000})
    offer_quote(quote=new, version=new.version, by=manager)
    data = data_of(new.document)
    assert sum(change["cents"] for change in data["changes"]) == data["difference_cents"]
    assert (data["before"], data["note"]) == ("A", "Cheaper")


def test_asking_twice_makes_one_document(manager):
    quote = make_draft_quote(by=manager)
    assert request_quote_pdf(quote).pk == request_quote_pdf(quote).pk


@pytest.mark.slow
def test_the_rescue_van_prints_to_the_cent_with_names_as_they_are_written(manager):
    job = make_job(agency=make_exempt_agency(name="Łódź Rescue, Ω-division"), title="Van ≥ 4 µm")
    make_furnished_item(job=job, description="Handlight charger")
    quote = draft_quote(
        job=job, lines=van.revision_b(), by=manager, number="KS-1042", discount_bp=2_200,
        exclusions="Licences", terms="Net 30 days",
    )  # fmt: skip
    offer_quote(quote=quote, version=quote.version, by=manager)
    drain_documents()
    quote.document.refresh_from_db()
    assert quote.document.error == ""
    pdf = document_path(quote.document.file_sha256).read_bytes()
    text = "\n".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf))
    for words in (
        "Łódź Rescue, Ω-division", "Van ≥ 4 µm", "$54,679.00", "-$12,029.38", "$42,649.62",
        "$1,279.49", "$78,161.51", "Licences", "Net 30 days", "Handlight charger", "O-2",
        quote.digest[:20],
    ):  # fmt: skip
        assert words in text, words
    with pikepdf.open(BytesIO(pdf)) as opened:
        assert opened.Root.MarkInfo.Marked


@pytest.mark.slow
def test_a_change_without_cost_prints_as_such(manager):
    quote = make_approved_quote(by=manager)
    change = draft_change(
        job=quote.job, title="Router late", reason="discovery", days=1, by=manager
    )
    offer_change(change=change, version=change.version, by=manager)
    for _ in range(2):
        drain_documents()
    change.document.refresh_from_db()
    pdf = document_path(change.document.file_sha256).read_bytes()
    text = pypdfium2.PdfDocument(pdf)[0].get_textpage().get_text_range()
    assert "This change costs nothing." in text
    assert "Router late" in text


def test_document_of_an_offer_stays_when_the_agency_changes(manager):
    quote = make_draft_quote(by=manager)
    offer_quote(quote=quote, version=quote.version, by=manager)
    name = quote.job.agency.name
    quote.job.agency.name = "Somebody else"
    quote.job.agency.save()
    decide_quote(quote=quote, answer="approved", name="Edda Quill", digest=quote.digest)
    quote.refresh_from_db()
    assert data_of(quote.document)["agency"] == name
