from datetime import date

import pytest
from django.urls import reverse

from jobs.models import LabourClass, PriceContract
from jobs.quoting.actions import draft_quote, edit_terms
from jobs.quoting.contracts import contract_problems
from jobs.quoting.documents import deposit_words
from jobs.quoting.pricing import PricedInput
from tests.factories import make_draft_quote, make_exempt_agency, make_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def contract():
    return PriceContract.objects.create(
        number="NC-7", name="County buyers", tiers=[[1, 2_200], [5, 2_500]], excluded=["Radio"],
        valid_from=date(2020, 1, 1), valid_until=date(2099, 12, 31),
    )  # fmt: skip


def put(quote, by, **fields):
    quote.refresh_from_db()
    edit_terms(quote=quote, version=quote.version, by=by, fields=fields)
    quote.refresh_from_db()


def nets(quote):
    return dict(quote.lines.filter(kind="part").values_list("ref", "amount_cents"))


def test_the_tier_follows_the_number_of_units(contract):
    assert [contract.discount_bp(units) for units in (1, 4, 5, 50)] == [2_200, 2_200, 2_500, 2_500]
    contract.tiers = [[3, 1_000]]
    assert contract.discount_bp(2) == 0


def test_a_contract_sets_discount_and_exclusions_and_units_move_the_tier(manager, contract):
    quote = make_draft_quote(by=manager)
    put(quote, manager, contract=contract, unit_count=1)
    assert nets(quote) == {"L01": 312_000, "L02": 90_000}
    put(quote, manager, contract=contract, unit_count=5, repeat_bp=9_000)
    assert nets(quote) == {"L01": 300_000, "L02": 90_000}
    repeats = list(quote.lines.filter(kind="repeat").values_list("quantity", "minutes"))
    assert repeats == [(4, 0), (1, 4 * 405)]
    assert quote.total_cents == sum(line.amount_cents for line in quote.lines.all())
    put(quote, manager, contract=None, discount_bp=0, unit_count=1)
    assert nets(quote) == {"L01": 400_000, "L02": 90_000}


def test_a_contracts_fee_is_charged_and_frozen_with_the_quote(client, manager, contract):
    quote = make_draft_quote(by=manager)
    put(quote, manager, contract=contract, unit_count=1)
    without = quote.total_cents
    contract.fee_bp = 150
    contract.save()
    quote = type(quote).objects.get(pk=quote.pk)
    assert "by now" in contract_problems(quote, date(2026, 1, 1))[0]
    put(quote, manager, contract=contract, unit_count=1)
    fee = quote.lines.get(kind="fee")
    assert fee.amount_cents > 0
    assert quote.total_cents == without + fee.amount_cents
    client.force_login(manager)
    page = client.get(reverse("jobs:quote_detail", args=[quote.job.number, "A"])).content.decode()
    assert "Contract administration fee, 1.5 %" in page
    assert "administration fee 1.5 %" in page
    put(quote, manager, contract=None, discount_bp=0, unit_count=1)
    assert not quote.lines.filter(kind="fee").exists()


def test_a_contract_that_ended_keeps_the_quote_from_being_offered(manager, contract):
    quote = make_draft_quote(by=manager)
    put(quote, manager, contract=contract, unit_count=1)
    assert contract_problems(quote, date(2026, 1, 1)) == []
    contract.valid_until = date(2026, 1, 1)
    contract.save()
    quote.refresh_from_db()
    assert "ended on" in contract_problems(quote, date(2026, 2, 1))[0]
    assert "before the quote does" in contract_problems(quote, date(2025, 12, 1))[0]


def test_a_changed_contract_is_noticed_before_offering(manager, contract):
    quote = make_draft_quote(by=manager)
    put(quote, manager, contract=contract, unit_count=1)
    contract.tiers = [[1, 3_000]]
    contract.save()
    quote.refresh_from_db()
    assert "by now" in contract_problems(quote, date(2026, 1, 1))[0]


def test_sections_have_their_class_of_work_and_a_quote_keeps_its_rates(manager):
    one = LabourClass.objects.create(name="Radio work", cents_per_hour=20_000, sections=["Radio"])
    quote = make_draft_quote(by=manager)
    labour = dict(quote.lines.filter(kind="labour").values_list("description", "amount_cents"))
    assert labour == {"Installation labour": 70_800, "Radio work": 30_000}
    LabourClass.objects.filter(pk=one.pk).update(cents_per_hour=1)
    lines = [PricedInput(section="Radio", ref="L02", description="Radio", minutes=60)]
    again = draft_quote(job=quote.job, lines=lines, by=manager)
    assert again.lines.get(kind="labour").amount_cents == 20_000


def test_a_deposit_is_a_share_of_the_total_and_not_on_top_of_it(manager):
    quote = make_draft_quote(by=manager)
    total = quote.total_cents
    put(quote, manager, deposit_bp=3_000)
    assert quote.total_cents == total
    assert deposit_words(quote).endswith("30 % of the total")


# Pages


def typed(**changes):
    return {
        "number": "NC-9", "name": "County", "tiers": "5: 25\n1: 22", "excluded": "Radio\n\nRadio",
        "valid_from": "2026-01-01", "valid_until": "2027-01-01", "route": "", **changes,
    }  # fmt: skip


def test_contracts_are_typed_one_tier_a_line(client, manager):
    client.force_login(manager)
    url = reverse("jobs:price_term_new", args=["contract"])
    assert client.post(url, typed()).status_code == 302
    made = PriceContract.objects.get()
    assert (made.tiers, made.excluded) == ([[1, 2_200], [5, 2_500]], ["Radio"])
    assert client.post(url, typed()).status_code == 422
    page = client.get(reverse("jobs:price_terms")).content.decode()
    assert "25 % from 5 units" in page


@pytest.mark.parametrize(
    ("tiers", "says"),
    [("5 25", "is no tier"), ("1: 200", "0 to 100"), ("1: 2\n1: 3", "same number"),
     ("0: 5", "at 1"),
     ("1: nan", "0 to 100"), ("1: 1.234", "two decimals")],
)  # fmt: skip
def test_odd_tiers_come_back_with_a_sentence(client, manager, tiers, says):
    client.force_login(manager)
    url = reverse("jobs:price_term_new", args=["contract"])
    answer = client.post(url, typed(tiers=tiers))
    assert answer.status_code == 422
    assert says in answer.content.decode()


def test_the_second_of_two_editors_is_told(client, manager, contract):
    client.force_login(manager)
    url = reverse("jobs:price_term_edit", args=["contract", contract.pk])
    page = client.get(url)
    version = page.context["form"].initial.get("version", 0)
    PriceContract.objects.update(route="Through the buyers' office", version=7)
    answer = client.post(url, typed(number="NC-7", version=version))
    assert answer.status_code == 409


def test_price_terms_are_for_the_office_only(client, technician):
    client.force_login(technician)
    assert client.get(reverse("jobs:price_terms")).status_code == 403


def test_the_units_of_a_quote_show_on_its_pages(client, manager, contract):
    quote = make_draft_quote(by=manager, job=make_job(agency=make_exempt_agency()))
    put(quote, manager, contract=contract, unit_count=3, repeat_bp=9_000, deposit_bp=1_000)
    client.force_login(manager)
    page = client.get(reverse("jobs:quote_detail", args=[quote.job.number, "A"])).content.decode()
    assert "3 units, hours of each further one 90 %" in page
    assert "Units 2 to 3" in page
    assert "NC-7" in page
    assert "10 % of the total" in page
