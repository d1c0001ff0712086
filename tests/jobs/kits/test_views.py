from decimal import Decimal

import pytest
from django.urls import reverse

from jobs.kits.actions import make_kit
from jobs.models import Quote
from tests.factories import make_job, make_line, make_part, make_wired_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def kit(manager):
    return make_kit(
        job=make_wired_job(), code="WARN", name="Grille warning", lines={"L01"}, by=manager
    )


def url(name, *args):
    return reverse(f"jobs:{name}", args=args)


def test_pages_of_a_shop_without_kits_say_what_to_do(client, manager):
    client.force_login(manager)
    assert "keep some of its lines as a kit" in client.get(url("kit_list")).content.decode()
    page = client.get(url("job_kits", make_job().number)).content.decode()
    assert "The shop has no kit yet" in page


def test_prices_of_kits_are_for_managers(client, manager, technician, kit):
    client.force_login(manager)
    assert "$592.00" in client.get(url("kit_list")).content.decode()
    client.force_login(technician)
    for page in (url("kit_list"), url("kit_detail", "WARN")):
        assert "$" not in client.get(page).content.decode()


def test_a_kit_is_kept_added_and_compared_by_clicks(client, manager, designer):
    client.force_login(designer)
    source = make_wired_job()
    typed = {"code": "warn", "name": "Grille", "lines": ["L01"], "rules": ["R01"]}
    assert client.post(url("kit_new", source.number), typed).status_code == 302
    again = client.post(url("kit_new", source.number), typed)
    assert again.status_code == 422
    assert "There is a kit WARN already" in again.content.decode()
    job = make_job()
    page = client.get(url("job_kits", job.number))
    form = page.context["add_form"]
    kit = form.fields["kit"].queryset.get()
    first = client.post(url("kit_add", job.number), {"kit": kit.pk, "seen": 0})
    assert first.status_code == 302
    twice = client.post(url("kit_add", job.number), {"kit": kit.pk, "seen": 0})
    assert twice.status_code == 422
    assert job.lines.count() == 1
    job.lines.update(quantity=9)
    assert "Where this job left the kit" in client.get(url("job_kits", job.number)).content.decode()


def test_an_earlier_job_starts_this_one(client, manager):
    client.force_login(manager)
    source, job = make_wired_job(), make_job()
    bad = client.post(url("build_start", job.number), {"source": "J-none"})
    assert bad.status_code == 422
    assert "There is no job J-none" in bad.content.decode()
    done = client.post(url("build_start", job.number), {"source": source.number}, follow=True)
    assert "the same" in done.content.decode()
    job.lines.update(quantity=9)
    page = client.get(url("build_compare", job.number, source.number)).content.decode()
    assert "quantity: 4 → <strong>9</strong>" in page


@pytest.mark.parametrize("name", ["kit_add", "build_start", "kit_new"])
def test_others_cannot_change_kits(client, technician, name):
    client.force_login(technician)
    assert client.post(url(name, make_job().number)).status_code == 403


def test_unknown_kits_and_jobs_are_not_found(client, manager, kit):
    client.force_login(manager)
    assert client.get(url("kit_detail", "NONE")).status_code == 404
    assert client.post(url("kit_add", "NONE")).status_code == 404
    assert client.get(url("kit_add", make_job().number)).status_code == 405


def test_a_retired_kit_is_not_offered(client, manager, kit):
    client.force_login(manager)
    client.post(url("kit_retire", "WARN"))
    page = client.get(url("job_kits", make_job().number))
    assert not page.context["add_form"].fields["kit"].queryset.exists()
    client.post(url("kit_retire", "WARN"), {"restore": "1"})
    page = client.get(url("job_kits", make_job().number))
    assert page.context["add_form"].fields["kit"].queryset.exists()


MOST_INTERACTIONS = 60


class Hands:
    """A person at the office's screen; every click, choice and typed field counts."""

    def __init__(self, page):
        self.page, self.count = page, 0

    def click(self, role, name):
        self.count += 1
        self.page.get_by_role(role, name=name, exact=True).first.click()

    def type(self, label, text):
        self.count += 1
        self.page.get_by_label(label).first.fill(text)

    def choose(self, field, **what):
        self.count += 1
        self.page.get_by_label(field).first.select_option(**what)


@pytest.mark.browser
@pytest.mark.slow
def test_a_quote_of_sixty_lines_takes_at_most_sixty_interactions(append_only, open_as, manager):
    source = make_wired_job()
    for place in range(2, 61):
        part = make_part(list_price_cents=10_000 + place, labour_minutes=30)
        make_line(job=source, ref=f"L{place:02d}", part=part)
    lines = {line.ref for line in source.lines.all()}
    make_kit(job=source, code="VAN", name="Whole van", lines=lines, by=manager)
    page = open_as(manager, "/jobs/new/")
    hands = Hands(page)
    hands.type("Agency", "Harbour Rescue District")
    hands.click("checkbox", "This is a new agency")
    hands.type("What is built", "Shore rescue van")
    hands.click("button", "Start job")
    hands.click("link", "Build sheet")
    hands.click("link", "add a kit or start from an earlier job")
    hands.choose("Kit to add", label="VAN Whole van")
    hands.click("button", "Add kit")
    hands.click("link", "Quotes")
    hands.click("button", "Draft a quote from the build sheet")
    hands.click("link", "Edit terms")
    hands.choose("Tax", value="none")
    hands.click("button", "Save terms")
    hands.click("link", "Add freight")
    hands.type("Description", "Freight, fixed")
    hands.type("Price", "1850")
    hands.click("button", "Add freight")
    hands.click("button", "Offer revision A")
    page.wait_for_url("**/send/")
    quote = Quote.objects.get()
    assert quote.state == "offered"
    assert quote.lines.filter(kind="part").count() == 60
    parts = sum(line.amount_cents for line in quote.lines.filter(kind="part"))
    assert parts == 4 * 14_800 + sum(10_000 + place for place in range(2, 61))
    assert quote.total_cents == sum(line.amount_cents for line in quote.lines.all())
    assert quote.lines.get(kind="freight").quantity == Decimal(1)
    assert hands.count <= MOST_INTERACTIONS
