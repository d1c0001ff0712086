import pytest
from django.urls import reverse

from inspections.as_built.work_sheets import pick_sheet
from inspections.checklists.specs import specs
from inspections.handover.design_sections import equipment
from inspections.service.campaigns import search
from jobs.build_sheet.unit_lines import lines_of
from jobs.buying.actions import BuyingError, count_stock, pick
from jobs.buying.job_views import pick_rows
from jobs.buying.needs import shares_of_job
from jobs.stages.actions import plan_stages
from tests.factories import make_job, make_line, make_unit

pytestmark = pytest.mark.django_db


def url(name, job, *args):
    return reverse(f"jobs:{name}", args=[job.number, *args])


def test_several_units_are_numbered_in_one_go_or_none(client, manager):
    job = make_job()
    client.force_login(manager)
    assert "Number several in one go" in client.get(url("fleet", job)).content.decode()
    typed = {"prefix": "SR-", "first": "8", "count": "3"}
    assert client.post(url("fleet_units", job), typed).status_code == 302
    assert [unit.number for unit in job.units.all()] == ["SR-08", "SR-09", "SR-10"]
    again = client.post(url("fleet_units", job), {**typed, "first": "10"})
    assert again.status_code == 422
    assert job.units.count() == 3
    for odd in ({"count": "0"}, {"prefix": "a/b"}, {"first": "x"}):
        assert client.post(url("fleet_units", job), {**typed, **odd}).status_code == 422


@pytest.fixture
def fleet(shop):
    """Three units that get four lamps each."""
    job = make_job(state="approved")
    line = make_line(job=job, quantity=4, stage="S3")
    units = [make_unit(job=job, number=f"SR-{number}") for number in (1, 2, 3)]
    return job, line, units


def differ(client, job, units, **typed):
    keys = [unit.pk for unit in units]
    return client.post(url("fleet_difference", job), {"units": keys, "text": "", **typed})


def test_a_difference_in_words_stands_with_its_unit(client, manager, fleet):
    job, line, units = fleet
    client.force_login(manager)
    differ(client, job, units[:1], line=line.pk, text="Amber instead of red")
    page = client.get(url("fleet", job)).content.decode()
    assert "Amber instead of red" in page
    client.post(url("fleet_same", job, units[0].differences.get().pk))
    assert not units[0].differences.exists()


def test_what_is_bought_and_picked_follows_the_units(client, manager, fleet):
    job, line, units = fleet
    client.force_login(manager)
    assert shares_of_job(job)[line.ref].need.pieces == 12
    assert differ(client, job, units[1:], line=line.pk, pieces="0").status_code == 302
    assert differ(client, job, units[:1], line=line.pk, pieces="3").status_code == 302
    assert shares_of_job(job)[line.ref].need.pieces == 3
    ((_, (row,)),) = pick_rows(job)
    assert [(unit.number, wanted) for unit, _, wanted in row.units] == [
        ("SR-1", 3), ("SR-2", 0), ("SR-3", 0),
    ]  # fmt: skip
    assert "not fitted there" in client.get(url("job_buying", job)).content.decode()
    count_stock(part=line.part.part, found=9, seen=0, note="", by=manager)
    with pytest.raises(BuyingError, match="SR-2 needs 0 more"):
        pick(line=line, unit=units[1], pieces=1, seen=0, by=manager)
    pick(line=line, unit=units[0], pieces=3, seen=0, by=manager)
    assert line.ref not in shares_of_job(job)


def test_hours_checks_and_packet_follow_the_unit(client, manager, fleet):
    job, line, (first, second, _) = fleet
    part = line.part
    type(part).objects.filter(pk=part.pk).update(labour_minutes=60, check_group="warning")
    for unit in (first, second):
        plan_stages(unit=unit, by=manager)
    client.force_login(manager)
    differ(client, job, [second], line=line.pk, pieces="0")
    hours = [unit.stages.get(code="S3").planned_minutes for unit in (first, second)]
    assert hours == [240, 0]
    lamps = [[one.ref for one in specs(unit) if one.ref.startswith("LAMP.L")] for unit in
             (first, second)]  # fmt: skip
    assert lamps == [[f"LAMP.{line.ref}"], []]
    rows = [[row for _, rows in equipment(unit)["data"]["groups"] for row in rows] for unit in
            (first, second)]  # fmt: skip
    assert [len(one) for one in rows] == [1, 0]
    assert equipment(second)["data"]["differences"] == [f"{line.ref}: not fitted"]
    stage = reverse("jobs:stage_detail", args=[job.number, second.number, "S3"])
    page = client.get(stage).content.decode()
    assert f"This unit differs: {line.ref}: not fitted." in page
    assert [sum(len(t["rows"]) for t in s["data"]["tables"]) for s in pick_sheet(first)] == [1]
    assert pick_sheet(second) == []


def test_a_campaign_names_only_units_that_have_the_part(client, manager, fleet):
    job, line, units = fleet
    client.force_login(manager)
    differ(client, job, units[:2], line=line.pk, pieces="0")
    code = line.part.part.code
    assert [match.unit.number for match in search({"part": code})] == ["SR-3"]


def test_said_again_a_difference_takes_the_place_of_the_old(client, manager, fleet):
    job, line, units = fleet
    client.force_login(manager)
    differ(client, job, units[:1], line=line.pk, pieces="0")
    differ(client, job, units[:1], line=line.pk, pieces="2")
    assert units[0].differences.get().pieces == 2
    assert [line.quantity for line in lines_of(units[0])] == [2]
    type(line).objects.filter(pk=line.pk).update(quantity=1)
    assert [line.quantity for line in lines_of(units[0])] == [1]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({}, "Say how many pieces"),
        ({"pieces": "2"}, "Choose the line"),
        ({"line": "line", "pieces": "4"}, "the build sheet has 4 for every unit"),
        ({"line": "line", "pieces": "x"}, "Type a whole number"),
        ({"line": "999999", "pieces": "1"}, "Select a valid choice"),
    ],
)
def test_a_difference_that_cannot_be_is_refused_in_words(client, manager, fleet, typed, words):
    job, line, units = fleet
    client.force_login(manager)
    typed = {name: line.pk if text == "line" else text for name, text in typed.items()}
    page = differ(client, job, units[:1], **typed)
    assert page.status_code == 422
    assert words in page.content.decode()
    assert not units[0].differences.exists()


def test_a_signed_off_unit_stays_as_it_was_built(client, manager, fleet):
    job, line, units = fleet
    plan_stages(unit=units[0], by=manager)
    units[0].stages.update(state="signed")
    client.force_login(manager)
    page = differ(client, job, units[:1], line=line.pk, pieces="0")
    assert page.status_code == 422
    assert "is signed off" in page.content.decode()


def test_finished_stages_count_as_done_whether_or_not_they_need_a_signature(client, manager, fleet):
    job, _, units = fleet
    plan_stages(unit=units[0], by=manager)
    all_stages = units[0].stages.count()
    units[0].stages.update(state="finished")
    units[0].stages.filter(code="S0").update(state="signed")
    client.force_login(manager)
    assert f"{all_stages} of {all_stages}" in client.get(url("fleet", job)).content.decode()


def test_others_look_but_do_not_change(client, technician):
    job = make_job()
    client.force_login(technician)
    assert client.get(url("fleet", job)).status_code == 200
    assert client.post(url("fleet_units", job)).status_code == 403


def test_a_quote_says_that_differences_are_not_in_its_price(client, manager, fleet):
    job, line, units = fleet
    client.force_login(manager)
    draft = reverse("jobs:quote_draft", args=[job.number])
    words = "although some units get fewer pieces"
    assert words not in client.post(draft, follow=True).content.decode()
    differ(client, job, units[1:], line=line.pk, pieces="0")
    assert words in client.post(draft, follow=True).content.decode()
