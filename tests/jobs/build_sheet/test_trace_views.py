import pytest
from django.urls import reverse

from jobs.models import Circuit, Feed, ModeDuty, Node, OperatingMode, Supply
from tests.factories import make_job, make_wired_job

pytestmark = pytest.mark.django_db


def url(name, job, *args):
    return reverse(f"jobs:{name}", args=[job.number, *args])


@pytest.fixture
def job():
    job = make_wired_job()
    mode = OperatingMode.objects.create(job=job, key="respond", name="Respond", source="idle")
    ModeDuty.objects.create(mode=mode, circuit=job.circuits.get())
    return job


def page(client, *args, **query):
    answer = client.get(url(*args), query)
    assert answer.status_code == 200
    return answer.content.decode()


def test_trace_list_finds_with_and_without_a_script(client, technician, job):
    client.force_login(technician)
    words = page(client, "trace_list", job, q="grille")
    assert "2 found for “grille”" in words and "<h1>" in words
    part = client.get(
        url("trace_list", job), {"q": "grille"}, headers={"HX-Request": "true"}
    ).content.decode()
    assert part.strip().startswith('<div id="trace-hits"')


def test_trace_list_says_when_nothing_is_found_or_there(client, technician, job):
    client.force_login(technician)
    assert "Nothing holds “xyz”" in page(client, "trace_list", job, q="xyz")
    assert "Nothing to trace yet" in page(client, "trace_list", make_job())


def test_trace_list_escapes_what_is_typed(client, technician, job):
    client.force_login(technician)
    assert "<b>x" not in page(client, "trace_list", job, q="<b>x" + "y" * 500)


def test_trace_detail_of_a_circuit_shows_points_volts_picture_and_table(client, technician, job):
    client.force_login(technician)
    words = page(client, "trace_detail", job, "circuit", "A-01")
    for expected in (
        "Main battery, terminals", "12 AWG, 10 ft", "13.45 V", 'role="img"',
        "Voltage along circuit A-01, Respond", "Expected voltage at each test point",
        "Goes dark when this opens",
    ):  # fmt: skip
        assert expected in words


def test_trace_detail_follows_the_mode_in_the_address_and_ignores_an_unknown_one(
    client, technician, job
):
    client.force_login(technician)
    words = page(client, "trace_detail", job, "circuit", "A-01", mode="+load-test")
    assert "Voltage along circuit A-01, Load test" in words
    words = page(client, "trace_detail", job, "circuit", "A-01", mode="nonsense")
    assert "Voltage along circuit A-01, Respond" in words


def test_trace_detail_of_a_load_shows_each_of_its_circuits(client, technician, job):
    second = Circuit.objects.get()
    loads = list(second.loads.all())
    second.pk, second.ref = None, "A-02"
    second._state.adding = True
    second.save()
    for load in loads:
        load.pk, load.circuit = None, second
        load._state.adding = True
        load.save()
    client.force_login(technician)
    words = page(client, "trace_detail", job, "load", "L01")
    assert url("trace_detail", job, "circuit", "A-01") in words
    assert url("trace_detail", job, "circuit", "A-02") in words


@pytest.mark.parametrize(("kind", "ref"), [("feed", "A"), ("node", "N1"), ("supply", "MAIN")])
def test_trace_detail_of_what_can_open_lists_what_goes_dark(client, technician, job, kind, ref):
    node = Node.objects.create(job=job, ref="N1", feed=job.feeds.get())
    Circuit.objects.update(node=node, channel="1")
    client.force_login(technician)
    words = page(client, "trace_detail", job, kind, ref)
    assert url("trace_detail", job, "circuit", "A-01") in words
    assert url("trace_detail", job, "load", "L01") in words


def test_trace_detail_of_a_supply_that_feeds_nothing_says_so(client, technician, job):
    Supply.objects.create(job=job, ref="SHORE", name="Shore", kind="shore", nominal_mv=120_000)
    client.force_login(technician)
    words = page(client, "trace_detail", job, "supply", "SHORE")
    assert "No circuit of this job hangs here." in words


def test_trace_detail_survives_missing_and_faulty_data(client, technician, job):
    client.force_login(technician)
    Circuit.objects.update(awg="", device_ma=None, length_mm=None)
    assert "not known" in page(client, "trace_detail", job, "circuit", "A-01")
    Circuit.objects.update(bundle_count=0)
    words = page(client, "trace_detail", job, "circuit", "A-01")
    assert "No voltage is calculated until" in words
    assert "Left rear panel" in words


def test_trace_detail_takes_references_with_any_sign(client, technician, job):
    Circuit.objects.update(ref="A/1 ü")
    Feed.objects.update(ref="A?&")
    client.force_login(technician)
    assert "A/1 ü" in page(client, "trace_detail", job, "circuit", "A/1 ü")
    assert url("trace_detail", job, "circuit", "A/1 ü") in page(
        client, "trace_detail", job, "feed", "A?&"
    )


@pytest.mark.parametrize(
    ("kind", "ref"), [("circuit", "A-99"), ("load", "L99"), ("feed", "Z"), ("fuse", "A-01")]
)
def test_trace_detail_of_something_unknown_is_not_found(client, technician, job, kind, ref):
    client.force_login(technician)
    assert client.get(url("trace_detail", job, kind, ref)).status_code == 404


def test_trace_detail_of_another_job_is_not_found(client, technician, job):
    client.force_login(technician)
    assert client.get(url("trace_detail", make_job(), "circuit", "A-01")).status_code == 404


@pytest.mark.browser
@pytest.mark.slow
def test_trace_list_narrows_while_one_types(open_as, technician):
    job = make_wired_job()
    tab = open_as(technician, url("trace_list", job))
    tab.locator("#id_q").press_sequentially("supply main")
    tab.get_by_text("1 found for “supply main”").wait_for()
    assert tab.evaluate("document.activeElement.id") == "id_q"
    tab.get_by_role("link", name="MAIN Main battery").click()
    assert tab.get_by_role("heading", level=1).inner_text() == "Supply MAIN Main battery"


def test_trace_pages_only_answer_reading(client, technician, job):
    client.force_login(technician)
    assert client.post(url("trace_list", job)).status_code == 405
    assert client.post(url("trace_detail", job, "feed", "A")).status_code == 405


def second_circuit(job, **fields):
    row = job.circuits.get(ref="A-01")
    row.pk, row.ref, row._state.adding = None, "A-02", True
    for name, value in fields.items():
        setattr(row, name, value)
    row.save()
    return row


def test_opening_what_feeds_a_nodes_logic_darkens_what_the_node_switches(client, technician, job):
    node = Node.objects.create(job=job, ref="N1", feed=job.feeds.get())
    second_circuit(job, node=node, channel="1")
    client.force_login(technician)
    words = page(client, "trace_detail", job, "circuit", "A-01")
    assert "What feeds the logic of N1 is not entered" in words
    job.circuits.get(ref="A-01").powers.add(node)
    words = page(client, "trace_detail", job, "circuit", "A-01")
    assert "Dead logic" in words and "is not entered" not in words
    assert url("trace_detail", job, "circuit", "A-02") in words or ">A-02<" in words


def test_a_closed_link_lets_the_other_supply_carry_on(client, technician, job):
    other = Supply.objects.create(job=job, ref="AUX", name="Aux", kind="battery", nominal_mv=13_200)
    link = Feed.objects.create(
        job=job, ref="E", name="Link", supply=job.supplies.get(ref="MAIN"), second_supply=other,
        device_kind="fuse_bolt", device_ma=200_000, awg="2/0", length_mm=5000,
    )  # fmt: skip
    job.modes.get().closed_links.add(link)
    client.force_login(technician)
    words = page(client, "trace_detail", job, "supply", "MAIN")
    assert url("trace_detail", job, "circuit", "A-01") in words
    words = page(client, "trace_detail", job, "supply", "MAIN", mode="respond")
    assert "a closed link feeds it from the other supply" in words
    assert url("trace_detail", job, "circuit", "A-01") not in words
