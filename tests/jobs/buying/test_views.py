import pytest
from django.urls import reverse

from jobs.buying import actions
from jobs.models import Job, Purchase, StockMove, Supplier
from tests.factories import make_furnished_item, make_job, make_line, make_part, make_unit

pytestmark = pytest.mark.django_db


def url(name, *args):
    return reverse(f"jobs:{name}", args=args)


@pytest.fixture
def job():
    job = make_job(state=Job.State.APPROVED)
    make_line(job=job, part=make_part(code="HEAD"), quantity=2)
    make_unit(job=job, number="SR-1")
    return job


@pytest.mark.parametrize("name", ["buying_list", "purchase_list", "supplier_list", "stock_list"])
def test_an_empty_shop_is_told_what_comes_first(client, manager, name):
    client.force_login(manager)
    assert 'class="empty"' in client.get(url(name)).content.decode()


def test_from_shortage_to_picked_by_clicks(client, manager, technician, job):
    client.force_login(manager)
    assert "add a supplier" in client.get(url("buying_list")).content.decode()
    client.post(url("supplier_new"), {"name": "Northmere Supply"})
    supplier = Supplier.objects.get()
    nothing = client.post(url("buying_order"), {"supplier": supplier.pk})
    assert nothing.status_code == 422
    unknown = client.post(url("buying_order"), {"parts": ["HEAD"]})
    assert "from whom" in unknown.content.decode()
    client.post(url("buying_order"), {"parts": ["HEAD"], "supplier": supplier.pk})
    purchase = Purchase.objects.get()
    assert purchase.lines.get().quantity == 2
    sent = {"version": purchase.version, "expected_on": ""}
    assert client.post(url("purchase_send", purchase.number), sent).status_code == 302
    assert client.post(url("purchase_send", purchase.number), sent).status_code == 409
    client.force_login(technician)
    line = purchase.lines.get()
    book = url("purchase_receive", purchase.number, line.pk)
    assert client.post(book, {"pieces": "2", "seen": "0"}).status_code == 302
    assert client.post(book, {"pieces": "2", "seen": "0"}).status_code == 422
    page = client.get(url("job_buying", job.number)).content.decode()
    assert "Pick 2" in page
    pick = url("pick_line", job.number, "SR-1", "L01")
    assert client.post(pick, {"pieces": "2", "seen": "0"}).status_code == 302
    assert client.post(pick, {"pieces": "2", "seen": "0"}).status_code == 422
    assert "Picked" in client.get(url("job_buying", job.number)).content.decode()
    client.post(url("put_back", job.number, "SR-1", "L01"))
    assert StockMove.objects.count() == 3


def test_agency_items_stand_on_the_parts_page_with_the_stage_they_hold(client, manager, job):
    make_furnished_item(job=job, needed_for_stage="S7")
    client.force_login(manager)
    page = client.get(url("job_buying", job.number)).content.decode()
    assert "waits for it" in page


def test_a_delivered_job_asks_for_no_parts(client, manager, job):
    Job.objects.update(state=Job.State.DELIVERED)
    client.force_login(manager)
    page = client.get(url("job_buying", job.number)).content.decode()
    assert "any more" in page
    assert "Not yet" not in page and "Substitute" not in page


def test_costs_are_for_managers(client, manager, technician, job):
    part = job.lines.get().part.part
    supplier = Supplier.objects.create(name="S")
    (purchase,) = actions.order_parts(wanted={part: 1}, suppliers={part: supplier}, by=manager)
    client.force_login(technician)
    page = client.get(url("purchase_detail", purchase.number)).content.decode()
    assert "$" not in page
    assert "Cost" not in page
    assert client.post(url("purchase_send", purchase.number)).status_code == 403


def test_a_count_is_typed_and_compared(client, technician, job):
    client.force_login(technician)
    where = url("stock_count", "HEAD")
    assert client.post(where, {"found": "-1", "seen": "0"}).status_code == 422
    client.post(where, {"found": "7", "seen": "0", "note": "Shelf 3"})
    assert client.post(where, {"found": "7", "seen": "0"}).status_code == 422
    assert "7" in client.get(url("stock_list")).content.decode()
    assert client.get(url("stock_count", "NONE")).status_code == 404


def test_a_substitute_shows_its_effect_before_it_is_accepted(client, designer, job):
    make_part(code="OTHER", labour_minutes=120)
    client.force_login(designer)
    where = url("substitute", job.number, "L01")
    typed = {"part_code": "OTHER", "reason": "HEAD is late", "version": "0"}
    page = client.post(where, typed).content.decode()
    assert "Labour +2.50 h" in page
    assert job.lines.get().part.part.code == "HEAD"
    assert client.post(where, {**typed, "part_code": "HEAD"}).status_code == 422
    assert client.post(where, {**typed, "accept": "1"}).status_code == 302
    assert job.lines.get().part.part.code == "OTHER"


def test_the_list_of_needs_asks_a_fixed_number_of_queries(
    client, manager, job, django_assert_max_num_queries
):
    for _ in range(30):
        make_line(job=make_job(state=Job.State.APPROVED), part=make_part())
    client.force_login(manager)
    with django_assert_max_num_queries(20):
        client.get(url("buying_list"))
