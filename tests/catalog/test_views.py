import pytest
from django.contrib.auth.models import User
from django.db.models import OuterRef, Subquery
from django.test import Client
from django.urls import reverse

from catalog.actions import revise_part
from catalog.models import Part, PartRevision
from jobs.models import BuildLine
from tests.factories import make_datasheet, make_job, make_part
from tests.form_data import form_data

LIST = reverse("catalog:part_list")


@pytest.fixture
def office(client: Client, designer: User) -> Client:
    client.force_login(designer)
    return client


def address(name: str, *args: object) -> str:
    return reverse(f"catalog:{name}", args=args)


def make_many(count: int) -> None:
    """As many parts as a large shop has, quickly."""
    parts = Part.objects.bulk_create(Part(code=f"P-{n:05}", kind="scene") for n in range(count))
    PartRevision.objects.bulk_create(
        PartRevision(part=part, number=1, description=f"Lamp {part.code}") for part in parts
    )
    revision = PartRevision.objects.filter(part=OuterRef("pk")).values("pk")
    Part.objects.update(current=Subquery(revision))


# --- The list ---


@pytest.mark.slow
@pytest.mark.parametrize("count", [60, 10_000])
def test_part_list_asks_the_database_as_often_for_10_000_parts(
    office, django_assert_max_num_queries, count
):
    make_many(count)
    for asked in ({}, {"search": "lamp"}, {"missing": "on", "sort": "-weight", "page": "2"}):
        with django_assert_max_num_queries(10):
            answer = office.get(LIST, asked)
        assert answer.status_code == 200
        assert len(answer.context["rows"]) == (10 if count == 60 and "page" in asked else 50)


def test_part_list_of_an_empty_catalog_says_what_to_do_next(office):
    answer = office.get(LIST)
    assert "The catalog is empty" in answer.content.decode()
    assert address("part_template", "xlsx") in answer.content.decode()


def test_part_list_without_a_match_offers_a_way_back(office):
    make_part()
    text = office.get(LIST, {"search": "zzz"}).content.decode()
    assert "No part matches" in text and "Clear the filters" in text


def test_part_list_refuses_unknown_words_with_a_sentence(office):
    make_part()
    answer = office.get(LIST, {"kind": "bulb"})
    assert answer.status_code == 422
    assert "bulb is not one of the words" in answer.content.decode()


@pytest.mark.parametrize("page", ["0", "-1", "999", "x", "9" * 400])
def test_part_list_answers_any_page_number(office, page):
    make_part(code="P-1")
    assert "P-1" in office.get(LIST, {"page": page}).content.decode()


def test_part_list_keeps_filters_in_page_links_and_headings(office):
    make_many(60)
    text = office.get(LIST, {"search": "lamp", "sort": "code"}).content.decode()
    assert "?search=lamp&amp;sort=code&amp;page=2" in text
    assert "?search=lamp&amp;sort=-code" in text
    assert 'aria-sort="ascending"' in text


def test_part_list_as_a_fragment_starts_at_its_element(office):
    make_part(code="P-1")
    answer = office.get(LIST, headers={"HX-Request": "true"})
    text = answer.content.decode()
    assert text.startswith('<div id="part-results"') and "P-1" in text
    assert "HX-Request" in answer["Vary"]


def test_part_list_names_gaps_and_unknown_currents(office):
    make_part(mass_g=None, draws=[{"average_ma": 900}])
    text = office.get(LIST).content.decode()
    assert "weight, peak current" in text and "0.9 A" in text


# --- One part ---


def test_part_detail_shows_the_datasheet_in_trade_units(office):
    make_part(
        code="P-1",
        kind="control",
        description="Output <module>",
        draws=[{"average_ma": 300, "peak_ma": 350, "standby_ua": 3000, "inrush_ma": 12_000}],
        limits=[{"what": "module", "limit_ma": 80_000}],
        cost_cents=9_900,
        lead_days=21,
    )
    text = office.get(address("part_detail", "P-1")).content.decode()
    for words in ("0.3 A", "0.35 A", "3 mA", "12 A", "80 A", "10.5 to 16 V", "0.6 lb", "0.75 h"):
        assert words in text
    for words in ("$148.00", "$99.00", "21 days", "Output &lt;module&gt;", "First datasheet"):
        assert words in text


def test_part_detail_keeps_cost_from_those_who_do_not_price(client, technician):
    make_part(code="P-1", cost_cents=9_900)
    client.force_login(technician)
    text = client.get(address("part_detail", "P-1")).content.decode()
    assert "$148.00" in text and "$99.00" not in text and "Revise part" not in text


def test_part_detail_names_the_jobs_and_their_revision(office):
    part = make_part(code="P-1")
    job = make_job(number="J-77", title="Rescue van")
    for ref, quantity in (("A-1", 2), ("A-2", 3)):
        BuildLine.objects.create(
            job=job, ref=ref, part=part.current, quantity=quantity, section="warning", zone="roof"
        )
    revise(office, price="151")
    answer = office.get(address("part_detail", "P-1"))
    assert [
        (use["job"], use["number"], use["pieces"], use["places"]) for use in answer.context["uses"]
    ] == [("J-77", 1, 5, 2)]
    assert "Older datasheet" in answer.content.decode()


def test_part_detail_tells_what_changed_between_revisions(office):
    make_part(code="P-1")
    revise(office, price="151", reason="Price list 7")
    text = office.get(address("part_detail", "P-1")).content.decode()
    for words in ("Revision 2", "Price list 7", "Dan Birch", "<del>$148.00</del>", "$151.00"):
        assert words in text


def test_part_revision_shows_the_older_datasheet_and_says_so(office):
    make_part(code="P-1")
    revise(office, price="151")
    answer = office.get(address("part_revision", "P-1", 1))
    text = answer.content.decode()
    assert "This is an older datasheet" in text and "Revise part" not in text
    assert answer.context["revision"].list_price_cents == 14_800


def test_part_detail_asks_a_fixed_number_of_queries(office, django_assert_max_num_queries):
    part = make_part(code="P-1")
    for cents in range(1, 30):
        revise_part(
            part=part,
            base_number=cents,
            datasheet=make_datasheet(list_price_cents=cents),
            by="Dan",
        )
    with django_assert_max_num_queries(14):
        answer = office.get(address("part_detail", "P-1"))
    assert len(answer.context["history"]) == 20


@pytest.mark.parametrize("name", ["part_detail", "part_edit", "part_retire"])
@pytest.mark.parametrize("code", ["NONE", "p-1", "..", "%00", "x" * 300])
def test_unknown_parts_are_not_found(office, name, code):
    make_part(code="P-1")
    assert (
        office.get(f"/parts/{code}/{'' if name == 'part_detail' else name[5:] + '/'}").status_code
        == 404
    )


def test_unknown_revisions_are_not_found(office):
    make_part(code="P-1")
    for number in (0, 2, 10**30):
        assert office.get(f"/parts/P-1/revisions/{number}/").status_code == 404


# --- Making and revising ---


def test_part_new_starts_empty_with_three_rows_in_each_table(office):
    data = form_data(office.get(address("part_new")))
    assert (data["draws-TOTAL_FORMS"], data["limits-TOTAL_FORMS"]) == ("3", "3")


def revise(client: Client, *, price: str, code: str = "P-1", **typed: str):
    """Open the form, type a price, save."""
    page = client.get(address("part_edit", code))
    data = form_data(page, list_price_cents=price, **typed)
    return client.post(address("part_edit", code), data)


def test_part_new_makes_a_part(office):
    data = form_data(
        office.get(address("part_new")),
        code="lb-60t", kind="warning", description="Roof bar", list_price_cents="2140",
        labour_minutes="6",
        **{"draws-0-function": "on", "draws-0-average_ma": "9.5", "draws-0-peak_ma": "19"},
    )  # fmt: skip
    answer = office.post(address("part_new"), data)
    assert answer.url == address("part_detail", "LB-60T")
    part = Part.objects.get(code="LB-60T")
    assert part.current.draws.get().peak_ma == 19_000
    assert part.current.created_by == "Dan Birch"
    again = office.post(address("part_new"), data)
    assert again.status_code == 422
    assert "LB-60T is in the catalog already" in again.content.decode()


def test_part_new_says_what_is_wrong_and_keeps_what_was_typed(office):
    data = form_data(office.get(address("part_new")), code="A", description="Lamp <b>")
    answer = office.post(address("part_new"), data | {"list_price_cents": "lots"})
    text = answer.content.decode()
    assert answer.status_code == 422 and not Part.objects.exists()
    assert "lots is not a number" in text and "Lamp &lt;b&gt;" in text
    assert 'href="#id_list_price_cents"' in text


def test_part_new_adds_rows_without_checking(office):
    data = form_data(office.get(address("part_new")), **{"draws-0-function": "low"})
    answer = office.post(address("part_new"), data | {"add_rows": "1"})
    again = form_data(answer)
    assert answer.status_code == 200 and "Check these entries" not in answer.content.decode()
    assert again["draws-0-function"] == "low" and again["draws-TOTAL_FORMS"] == "4"


def test_part_edit_sent_back_untouched_changes_nothing(office):
    part = make_part(
        code="P-1",
        note="Two\nlines",
        limits=[{"what": "channel", "label": "1 to 4", "limit_ma": 25_000, "count": 4}],
        warranty_months=24,
        check_group="warning",
        serial_tracked=True,
    )
    page = office.get(address("part_edit", "P-1"))
    answer = office.post(address("part_edit", "P-1"), form_data(page), follow=True)
    assert "Nothing changed. Revision 1 stays." in answer.content.decode()
    assert part.revisions.count() == 1


def test_part_edit_makes_the_next_revision(office):
    part = make_part(code="P-1")
    assert revise(office, price="151", reason="List 7").url == address("part_detail", "P-1")
    part.refresh_from_db()
    assert (part.current.number, part.current.list_price_cents) == (2, 15_100)
    assert part.revisions.get(number=1).list_price_cents == 14_800


def test_part_edit_of_two_people_tells_the_second_and_loses_nothing(client, office, manager):
    make_part(code="P-1")
    seen = office.get(address("part_edit", "P-1"))
    other = Client()
    other.force_login(manager)
    revise(other, price="160", warranty_months="36")
    mine = form_data(seen, list_price_cents="155", description="Better head")
    told = office.post(address("part_edit", "P-1"), mine)
    text = told.content.decode()
    assert told.status_code == 409
    assert "Somebody else changed P-1 after revision 1" in text and "Mona Ash" in text
    assert "<del>$148.00</del>" in text and "<del>$160.00</del>" in text
    assert PartRevision.objects.count() == 2
    again = office.post(address("part_edit", "P-1"), form_data(told))
    assert again.status_code == 302
    current = Part.objects.get(code="P-1").current
    assert (current.number, current.description) == (3, "Better head")
    assert (current.list_price_cents, current.warranty_months) == (15_500, 36)


def test_part_edit_twice_with_one_form_revises_once(office):
    make_part(code="P-1")
    data = form_data(office.get(address("part_edit", "P-1")), list_price_cents="151")
    office.post(address("part_edit", "P-1"), data)
    second = office.post(address("part_edit", "P-1"), data)
    assert second.status_code == 409
    assert "already says what you typed" in second.content.decode()
    assert PartRevision.objects.count() == 2


@pytest.mark.parametrize("base", ["", "x", "0", "7", "-1", "9" * 40])
def test_part_edit_from_a_revision_that_is_none_is_refused(office, base):
    make_part(code="P-1")
    data = form_data(office.get(address("part_edit", "P-1")), list_price_cents="151")
    answer = office.post(address("part_edit", "P-1"), data | {"base_number": base})
    assert answer.status_code == 422 and "Check these entries" in answer.content.decode()
    assert PartRevision.objects.count() == 1


# --- Retiring ---


def test_part_retire_and_part_restore_say_so(office):
    make_part(code="P-1")
    make_part(code="P-2")
    answer = office.post(address("part_retire", "P-1"), {"replacement": "p-2"}, follow=True)
    text = answer.content.decode()
    assert "P-1 is retired" in text and address("part_detail", "P-2") in text
    again = office.post(address("part_retire", "P-1"), {"replacement": ""}, follow=True)
    assert "P-1 is retired already" in again.content.decode()
    answer = office.post(address("part_restore", "P-1"), follow=True)
    assert "P-1 is in use again" in answer.content.decode()
    again = office.post(address("part_restore", "P-1"), follow=True)
    assert "P-1 is in use already" in again.content.decode()


@pytest.mark.parametrize(
    ("code", "sentence"),
    [
        ("NONE", "NONE is not in the catalog."),
        ("P-1", "P-1 cannot replace itself."),
        ("OLD", "OLD is retired itself."),
        ("a b", "a b is no part code"),
    ],
)
def test_part_retire_needs_a_replacement_that_can_be_used(office, code, sentence):
    make_part(code="P-1")
    make_part(code="OLD")
    Part.objects.filter(code="OLD").update(retired=True)
    answer = office.post(address("part_retire", "P-1"), {"replacement": code})
    assert answer.status_code == 422
    assert sentence.upper() in answer.content.decode().upper()
    assert not Part.objects.get(code="P-1").retired


def test_wrong_methods_are_refused(office):
    make_part(code="P-1")
    assert office.get(address("part_restore", "P-1")).status_code == 405
    for name in ("part_detail", "part_list", "part_revision"):
        args = {"part_detail": ["P-1"], "part_list": [], "part_revision": ["P-1", 1]}[name]
        assert office.post(address(name, *args)).status_code == 405
    assert office.put(address("part_edit", "P-1")).status_code == 405


@pytest.mark.parametrize("person", ["technician", "inspector"])
def test_looking_is_open_to_all_and_changing_is_not(client, request, db, person):
    make_part(code="P-1")
    client.force_login(request.getfixturevalue(person))
    for name, args in (("part_list", []), ("part_detail", ["P-1"]), ("part_revision", ["P-1", 1])):
        assert client.get(address(name, *args)).status_code == 200
    for name, args in (
        ("part_new", []), ("part_edit", ["P-1"]), ("part_retire", ["P-1"]),
        ("part_restore", ["P-1"]), ("part_import", []), ("part_export", ["csv"]),
    ):  # fmt: skip
        assert client.post(address(name, *args)).status_code in (403, 405)
        assert client.get(address(name, *args)).status_code in (403, 405)
    assert Part.objects.get().current.number == 1
