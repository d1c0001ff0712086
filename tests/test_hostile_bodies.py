"""One law for every address: whatever is sent to it, nothing breaks. A number beyond what a column
holds, a NUL, a text without end or a day of the year 9999 is answered, with a sentence where it
is refused, and never with a failure of ours.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from html.parser import HTMLParser
from itertools import islice, product
from typing import Any

import pytest
from django.db import transaction
from django.test import Client
from django.urls import NoReverseMatch, reverse

from catalog.models import Part
from jobs.buying import actions as buying
from jobs.intake.links import QUOTE, make_link
from jobs.kits.actions import make_kit
from jobs.models import Contact, Notice, PlanResource, Purchase, Supplier
from jobs.planning.actions import work_out
from jobs.quoting.actions import revise_quote
from jobs.quoting.changes import draft_change
from jobs.quoting.forms import ASKED
from jobs.quoting.orders import enter_order
from tests.factories import (
    make_approved_quote,
    make_exempt_agency,
    make_furnished_item,
    make_job,
    make_part,
    make_requirement,
    make_wired_job,
    make_working_unit,
)
from tests.test_urls import ADDRESSES, Address

pytestmark = [pytest.mark.django_db, pytest.mark.slow]
HUGE = "9" * 30
# What no field of any form expects, sent in all fields at once.
BODIES = [
    HUGE, f"-{HUGE}.5", "NaN", "a\0b", "x" * 20_000, "9999-12-31", "",
]  # fmt: skip
# What pages read from their address.
QUESTIONS = (
    "q", "page", "after", "state", "sort", "job", "from", "kind", "show", "to", "by", "mode",
    "revision", "agency", "since", "until", "edit", "rule", "subject", "next", "stage", "circuit",
    "vin", "copy",
)  # fmt: skip
# These change who is signed in, or how the page looks, and no row of the shop; readyz answers 503.
LEFT_OUT = {
    "jobs:sign_out", "jobs:sign_in", "jobs:first_run", "jobs:tablet_pin", "jobs:set_mode",
    "jobs:readyz",
}  # fmt: skip
MOST_TRIED = 24


class Fields(HTMLParser):
    """The names of all fields on a page with what stands in them."""

    def __init__(self) -> None:
        super().__init__()
        self.found: dict[str, str] = {}
        self.select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = {key: value or "" for key, value in attrs}
        name = held.get("name", "")
        if tag == "select":
            self.select = name
        elif tag == "option" and self.select:
            self.found.setdefault(self.select, held.get("value", ""))
        elif tag in ("input", "textarea", "button") and name and held.get("type") != "file":
            self.found.setdefault(name, held.get("value", ""))


@dataclass(frozen=True, kw_only=True, slots=True)
class Office:
    """A small shop with one of everything, and what the parts of its addresses can be."""

    client: Client
    parts: dict[str, list[Any]]

    def send(self, path: str, method: str, data: dict[str, Any]) -> int:
        """What is answered. Nothing that was sent stays."""
        with transaction.atomic():
            ask = self.client.post if method == "post" else self.client.get
            status = ask(path, data).status_code
            transaction.set_rollback(True)
        return status

    def existing(self, address: Address) -> str:
        """A path of an address behind which there is something; without one its plain sample."""
        names = list(address.kwargs)
        values = [self.parts.get(name, [address.kwargs[name]]) for name in names]
        for chosen in islice(product(*values), MOST_TRIED):
            try:
                path = reverse(address.name, kwargs=dict(zip(names, chosen, strict=True)))
            except NoReverseMatch:  # a text where this address has a number
                continue
            if 404 not in (self.send(path, "get", {}), self.send(path, "post", {})):
                return path
        return address.path

    def fields_of(self, path: str) -> dict[str, str]:
        page, fields = self.client.get(path), Fields()
        if page.headers.get("Content-Type", "").startswith("text/html"):
            fields.feed(page.content.decode())
        return fields.found


@pytest.fixture
def office(owner, monkeypatch) -> Office:
    monkeypatch.setattr("jobs.planning.actions.REQUEST_SECONDS", 0.1)
    job = make_wired_job(job=make_job(agency=make_exempt_agency()))
    unit = make_working_unit(by=owner, job=job)
    quote = make_approved_quote(by=owner, job=job)
    revise_quote(quote=quote, by=owner)
    draft_change(job=job, title="x", reason="customer", by=owner)
    order = enter_order(
        job=job, number="PO-1", revision="A", total_cents=1, bill_to="x",
        received_on=date(2026, 6, 9), by=owner,
    )  # fmt: skip
    make_kit(job=job, code="WARN", name="Warning", lines={"L01"}, by=owner)
    sent, draft = _two_purchases(make_part(code="P-X"), owner)
    run = work_out(by=owner)
    notice = Notice.objects.create(kind="answered", to="a@b.example", subject="x", text="x")
    contact = Contact.objects.create(agency=job.agency, name="Edda Quill")
    link, token = make_link(job=job, purpose=QUOTE, subject_id=quote.pk, sent_to="E", by=owner)
    lines = job.quotes.get(revision="B").lines.values_list("pk", flat=True)
    means = PlanResource.objects.earliest("pk").pk
    parts: dict[str, list[Any]] = {
        "number": [job.number, 1], "unit": [unit.number], "revision": ["B", "A"], "other": ["A"],
        "change": [1], "ref": ["L01", "A-01"], "key": ["A-01"], "place": [0], "hold": ["H1"],
        "code": ["WARN", "P-X", "S6", "H1"], "move": ["start", "stop", "pause"],
        "kind": [*ASKED, "contract", "labour", "circuit", "supply", "feed", "answered"],
        "line": [sent.lines.get().pk, *lines], "order": [order.pk], "run": [run.pk],
        "purchase": [sent.number, draft.number], "supplier": [sent.supplier_id],
        "row_id": [0, means, job.circuits.get().pk], "agency_id": [job.agency_id],
        "contact_id": [contact.pk], "link_id": [link.pk], "token": [token], "person_id": [owner.pk],
        "requirement": [make_requirement(job=job).number],
        "item_id": [make_furnished_item(job=job).pk], "notice": [notice.pk],
    }  # fmt: skip
    client = Client(raise_request_exception=False)
    client.force_login(owner)
    client.get(reverse("jobs:quote_open", args=[token]))
    return Office(client=client, parts=parts)


def _two_purchases(part: Part, by: Any) -> tuple[Purchase, Purchase]:
    """One that went out and one that did not."""
    supplier = Supplier.objects.create(name="Supplier")

    def order() -> Purchase:
        (made,) = buying.order_parts(wanted={part: 3}, suppliers={part: supplier}, by=by)
        return made

    sent = order()
    buying.send_purchase(purchase=sent, version=sent.version, expected_on=None, by=by)
    return sent, order()


def hostile(fields: dict[str, str], others: set[str]) -> Iterator[dict[str, Any]]:
    """Every hostile text in all fields at once; a number too large in one of them; all twice."""
    names = fields or dict.fromkeys(others, "1")
    for text in BODIES:
        yield dict.fromkeys(names, text)
    for name in (name for name, held in fields.items() if held.isdecimal()):
        yield {**fields, name: HUGE}
    yield {name: [text, HUGE] for name, text in names.items()}
    yield {}


def test_nothing_that_is_sent_or_asked_breaks_anything(office: Office):
    places = {
        office.existing(address): address.name
        for address in ADDRESSES
        if address.name not in LEFT_OUT
    }
    fields = {path: office.fields_of(path) for path in places}
    others = {name for names in fields.values() for name in names}
    assert len(set(places.values())) > 150
    broken: dict[str, str] = {}
    for path, name in places.items():
        taken = office.send(path, "post", {}) != 405
        for data in hostile(fields[path], others) if taken else ():
            if office.send(path, "post", data) >= 500:
                broken.setdefault(f"POST {name}", f"{path} {data}"[:300])
        for text in (HUGE, "x" * 300):
            if office.send(path, "get", dict.fromkeys(QUESTIONS, text)) >= 500:
                broken.setdefault(f"GET {name}", f"{path} {text[:40]!r}")
    assert broken == {}
