"""Lamp heads, single faults, nodes and control guide of one version."""

import re

import pytest
from django.urls import reverse

from jobs.build_sheet.drafting.gate import gate_of
from jobs.models import AcceptedRisk, LogicWork
from tests.browser import PHONE, TALL, WIDE, axe, scrolls_sideways
from tests.factories import make_job
from tests.jobs.build_sheet.control.rows import keep, keep_demo
from tests.jobs.controls.small import small_data
from tests.pages import read
from tests.test_pages import faults

pytestmark = pytest.mark.django_db
PAGES = ["logic_heads", "logic_faults", "logic_fit", "logic_guide"]


def url(name, kept):
    return reverse(f"jobs:{name}", args=[kept.job.number, kept.version])


def get(client, name, kept):
    response = client.get(url(name, kept))
    assert response.status_code == 200
    return response.content.decode()


def with_head(**head):
    data = small_data()
    patterns = [
        {"name": "alarm", "when": "ALARM", "colours": ["red"]},
        {"name": "up", "when": "MAST", "colours": ["amber"], "flash": "slow"},
    ]
    data["heads"] = [
        {"name": "BAR", "label": "bar", "zone": "rear", "colours": ["red", "amber"],
         "patterns": patterns} | head
    ]  # fmt: skip
    data["profile"] = [{"zone": "rear", "colours": ["red", "amber"]}]
    return data


def test_heads_show_their_order_and_one_winner_for_each_combination(client, technician):
    client.force_login(technician)
    page = get(client, "logic_heads", keep(with_head()))
    assert re.search(r"alarm</th>.*up</th>", page, re.S)
    assert "amber, slow" in page
    assert page.count("Reached") == 3
    assert page.count("Impossible") == 1  # the mast goes up only while parked: no alarm


def test_a_cell_of_a_head_opens_in_the_simulator_and_shows_there(client, technician):
    kept = keep(with_head())
    client.force_login(technician)
    page = get(client, "logic_heads", kept)
    addresses = re.findall(r'href="([^"]+simulator/\?at=[^"]*)"', page)
    assert len(addresses) == 3
    seen = "".join(client.get(each).content.decode() for each in addresses)
    assert "red, steady" in seen and "amber, slow" in seen and "dark" in seen


def test_a_pattern_that_always_loses_is_marked(client, technician):
    data = with_head()
    data["heads"][0]["patterns"].append({"name": "late", "when": "MAST AND UP", "colours": []})
    client.force_login(technician)
    assert "Never shown" in get(client, "logic_heads", keep(data))


def test_lamp_heads_are_worked_out_once(client, technician):
    kept = keep(with_head())
    client.force_login(technician)
    get(client, "logic_heads", kept)
    work = LogicWork.objects.get(kind="heads")
    assert (work.state, work.done) == ("done", 1)
    get(client, "logic_heads", kept)
    assert LogicWork.objects.get(kind="heads") == work


def test_uncovered_faults_come_first_with_what_breaks(client, technician):
    client.force_login(technician)
    page = get(client, "logic_faults", keep(small_data()))
    first, rest = page.index("Uncovered ("), page.index("Breaks nothing (")
    assert first < page.index("park brake stuck at set") < rest
    assert "Breaks, uncovered" in page
    assert "Accept or put right" in page


def test_an_accepted_fault_stays_with_the_name_of_who_accepted(client, technician, designer):
    kept = keep(small_data())
    risk = next(each for each in gate_of(kept).risks if "park brake stuck" in each.what)
    AcceptedRisk.objects.create(
        job=kept.job, fingerprint=risk.fingerprint, version=kept.version,
        interlock=risk.interlock, what=risk.what, reason="Second switch ordered",
        accepted_by="Dan Birch",
    )  # fmt: skip
    client.force_login(technician)
    page = get(client, "logic_faults", kept)
    assert re.search(r"park brake stuck at set.*?Accepted by Dan Birch.*?Second switch", page, re.S)


def test_a_second_means_is_named(client, technician):
    data = small_data()
    data["outputs"] = [
        {"name": "MAST", "label": "mast up", "second_means": "Breaker at the mast"},
        *data["outputs"][1:],
    ]
    client.force_login(technician)
    page = get(client, "logic_faults", keep(data))
    assert "Second means: Breaker at the mast" in page


EMPTY = {
    "logic_heads": "no lamp heads",
    "logic_faults": "No interlock of this version",
    "logic_fit": "Nothing to place yet",
    "logic_guide": "No control, alarm or lock-out yet",
}


@pytest.mark.parametrize("name", PAGES)
def test_an_empty_version_says_what_to_do(client, technician, name):
    client.force_login(technician)
    assert EMPTY[name] in get(client, name, keep({}))


@pytest.mark.parametrize("name", PAGES)
def test_pages_are_only_read_and_only_where_there_is_a_version(client, technician, name):
    kept = keep({})
    assert client.get(url(name, kept)).status_code == 302
    client.force_login(technician)
    assert client.post(url(name, kept)).status_code == 405
    path = reverse(f"jobs:{name}", args=[make_job().number, kept.version])
    assert client.get(path).status_code == 404


@pytest.mark.browser
@pytest.mark.slow
@pytest.mark.parametrize("name", PAGES)
def test_pages_are_accessible_at_every_size(open_as, technician, name):
    page = open_as(technician, url(name, keep_demo()))
    axe(page)
    for size in (WIDE, TALL, PHONE):
        page.set_viewport_size(size)
        assert not scrolls_sideways(page)


@pytest.mark.parametrize("version", ["1.2", "1.3", None])
def test_every_page_of_a_version_keeps_the_rules_of_the_site(client, owner, version):
    kept = keep_demo(version) if version else keep({})
    client.force_login(owner)
    paths = [url(name, kept) for name in [*PAGES, "logic_simulator", "logic_detail"]]
    if version == "1.2":
        paths.append(f"{url('logic_simulator', kept)}?example=I1")
    for path in paths:
        response = client.get(path)
        page = read(path, path, response.status_code, response.content.decode())
        assert faults(page) == [], path
