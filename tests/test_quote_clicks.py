"""A new user makes a whole quote of 60 lines out of a kit: every click and every entry counts."""

from dataclasses import dataclass

import pytest
from playwright.sync_api import Page

from jobs.kits.actions import make_kit
from jobs.models import Contact, Notice, Quote
from tests.browser import WIDE
from tests.factories import make_agency, make_job, make_line, make_part

pytestmark = [pytest.mark.browser, pytest.mark.slow]
LINES, MOST = 60, 60


@dataclass
class Newcomer:
    """Somebody who only uses what the page shows. Each method but `sees` is one interaction."""

    page: Page
    count: int = 0

    def follow(self, words: str) -> None:
        self.count += 1
        with self.page.expect_navigation():
            self.page.get_by_role("link", name=words, exact=True).first.click()

    def press(self, words: str) -> None:
        self.count += 1
        with self.page.expect_navigation():
            self.page.locator("main").get_by_role("button", name=words, exact=True).click()

    def type(self, label: str, value: str) -> None:
        self.count += 1
        self.page.get_by_label(label).first.fill(value)

    def choose(self, label: str, value: str) -> None:
        self.count += 1
        self.page.get_by_label(label).first.select_option(label=value)

    def sees(self, words: str) -> None:
        assert words in self.page.locator("main").inner_text()


@pytest.fixture
def kit(append_only, manager):
    """A kit of 60 lines with prices and hours, kept from an earlier job."""
    job = make_job(number="J-0900")
    for number in range(1, LINES + 1):
        part = make_part(code=f"HD-{number}", labour_minutes=30)
        make_line(job=job, ref=f"L{number:02d}", part=part)
    refs = set(job.lines.values_list("ref", flat=True))
    return make_kit(job=job, code="VAN", name="Whole rescue van", lines=refs, by=manager)


@pytest.fixture
def agency(append_only):
    found = make_agency(name="Gull Rock Fire District", exempt=False)
    Contact.objects.create(
        agency=found, name="Edda Quill", email="edda@gullrock.example", may_approve=True
    )
    return found


def test_a_quote_of_60_lines_from_a_kit_takes_at_most_60_interactions(
    open_as, manager, shop, kit, agency
):
    person = Newcomer(open_as(manager, "/", viewport=WIDE))
    person.follow("Jobs")
    person.follow("Start job")
    person.type("Agency", agency.name)
    person.type("What is built", "Shore rescue van")
    person.press("Start job")
    person.follow("Build sheet")
    person.follow("Kits")
    person.choose("Kit to add", "VAN Whole rescue van")
    person.press("Add kit")
    person.press("Draft a quote from it")
    person.follow("Add freight")
    person.type("Description", "Freight, fixed")
    person.type("Price", "480")
    person.press("Add freight")
    person.follow("Add option")
    person.type("Description", "Second charger")
    person.type("List price", "640")
    person.press("Add option")
    person.follow("Edit terms")
    person.type("Contract discount on parts", "10")
    person.type("Tax rate", "6.5")
    person.type("Not included", "Radio licences")
    person.press("Save terms")
    person.press("Offer revision A")
    person.press("Make the link")
    person.sees("is queued for edda@gullrock.example")
    quote = Quote.objects.get()
    assert quote.state == Quote.State.OFFERED
    assert quote.lines.filter(kind="part").count() == LINES
    assert quote.total_cents == sum(
        line.amount_cents for line in quote.lines.all() if line.kind != "option" or line.chosen
    )
    assert Notice.objects.get().job == quote.job.number
    assert person.count <= MOST, f"{person.count} interactions"
