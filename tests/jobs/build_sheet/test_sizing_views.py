import pytest
from django.urls import reverse

from jobs.build_sheet.sizing import suggestions_of
from jobs.models import AppliedChange, AuditEvent, Circuit, ModeDuty, OperatingMode
from tests.factories import make_job, make_wired_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def failing(shop):
    """7.2 A over 52 ft of 14 AWG: more than 10 % is lost."""
    return make_wired_job(awg="14", length_mm=16_000)


def where(name, job, row):
    return reverse(f"jobs:{name}", args=[job.number, row.pk])


def apply(client, job, kind):
    row = job.circuits.get(ref="A-01")
    chosen = next(each for each in suggestions_of(job, "A-01") if each.suggestion.kind == kind)
    data = {"kind": str(chosen.suggestion.kind), "sentence": chosen.suggestion.sentence}
    return client.post(reverse("jobs:sizing_apply", args=[job.number, row.pk]), data), chosen


def undo(client, job):
    change = AppliedChange.objects.filter(job=job).first()
    return client.post(reverse("jobs:sizing_undo", args=[job.number, change.pk]), follow=True)


def state(job):
    return [
        (c.ref, c.awg, c.device_ma, float(c.length_mm), sorted(c.loads.values_list("quantity")))
        for c in job.circuits.order_by("ref")
    ]


def test_circuit_sizing_shows_copper_and_price(client, designer, failing, shop):
    shop.copper_cents_per_kg = 2_000
    shop.save()
    client.force_login(designer)
    row = failing.circuits.get()
    page = client.get(
        reverse("jobs:circuit_sizing", args=[failing.number, row.pk])
    ).content.decode()
    found = suggestions_of(failing, "A-01")
    assert {str(each.suggestion.kind) for each in found} >= {"gauge", "shorter run"}
    gauge = next(each for each in found if each.suggestion.kind == "gauge")
    assert gauge.cents == round(2_000 * gauge.suggestion.copper_kg) > 0
    assert f"+${gauge.cents / 100:.2f}" in page
    assert "Vanishes" in page


@pytest.mark.parametrize("kind", ["gauge", "shorter run", "split"])
def test_a_suggestion_is_applied_makes_it_pass_and_is_undone(client, designer, failing, kind):
    mode = OperatingMode.objects.create(job=failing, key="on", name="On", source="idle")
    ModeDuty.objects.create(mode=mode, circuit=failing.circuits.get(), permille=500)
    before = state(failing)
    client.force_login(designer)
    response, _ = apply(client, failing, kind)
    assert response.url == reverse("jobs:circuit_list", args=[failing.number])
    assert state(failing) != before
    assert suggestions_of(failing, "A-01") == []
    if kind == "split":
        assert ModeDuty.objects.filter(circuit__ref="A-01B", permille=500).exists()
    assert "Undone" in undo(client, failing).content.decode()
    assert state(failing) == before
    assert "undone already" in undo(client, failing).content.decode()
    verbs = AuditEvent.objects.filter(job=failing.number).values_list("verb", flat=True)
    assert sorted(verbs) == ["applied", "undid"]


def test_a_suggestion_applied_twice_changes_once(client, designer, failing):
    row = failing.circuits.get()
    client.force_login(designer)
    _, chosen = apply(client, failing, "gauge")
    once = state(failing)
    data = {"kind": "gauge", "sentence": chosen.suggestion.sentence}
    address = where("sizing_apply", failing, row)
    assert "no longer what makes" in client.post(address, data, follow=True).content.decode()
    assert state(failing) == once


def test_undo_leaves_what_somebody_changed_since(client, designer, failing):
    client.force_login(designer)
    apply(client, failing, "gauge")
    Circuit.objects.filter(job=failing).update(awg="8")
    assert "was changed since" in undo(client, failing).content.decode()
    assert failing.circuits.get().awg == "8"
    assert AppliedChange.objects.get().undone_at is None


def test_sizing_is_shown_to_all_and_applied_by_designers(client, technician, failing):
    row = failing.circuits.get()
    client.force_login(technician)
    assert (
        client.get(reverse("jobs:circuit_sizing", args=[failing.number, row.pk])).status_code == 200
    )
    where = reverse("jobs:sizing_apply", args=[failing.number, row.pk])
    assert client.post(where).status_code == 403
    assert (
        client.get(reverse("jobs:circuit_sizing", args=[make_job().number, row.pk])).status_code
        == 404
    )


def test_what_no_part_prices_is_named_on_the_page(client, designer, failing):
    client.force_login(designer)
    page = client.get(where("circuit_sizing", failing, failing.circuits.get())).content.decode()
    assert "<strong>not priced</strong>, no such part in the catalog" in page


def test_editing_a_split_half_keeps_its_name(client, designer, failing):
    client.force_login(designer)
    apply(client, failing, "split")
    half = failing.circuits.get(ref="A-01B")
    assert half.label == "A-01B"
    Circuit.objects.filter(pk=half.pk).update(ref="A-01b")
    address = reverse("jobs:row_edit", args=[failing.number, "circuit", half.pk])
    form = client.get(address).context["form"]
    data = {
        name: value for name, value in form.initial.items() if value not in (None, "", [], False)
    }
    load = half.loads.get()
    data |= {
        "length_mm": "20", "device_ma": "10", "through_average_ma": "0", "through_peak_ma": "0",
        "loads-TOTAL_FORMS": "1", "loads-INITIAL_FORMS": "1", "loads-0-id": load.pk,
        "loads-0-line": load.line_id, "loads-0-quantity": "2", "loads-0-function": "on",
    }  # fmt: skip
    assert client.post(address, data).status_code == 302
    half.refresh_from_db()
    assert half.ref == "A-01b"


def test_feed_and_branch_are_changed_together_and_put_back_together(client, designer, shop):
    """45 ft of 8 AWG lose more than the allowed 3 % by themselves, and so do 20 ft of 16 AWG."""
    job = make_wired_job(awg="16", length_mm=6_096, drop_limit_percent="3")
    job.feeds.update(awg="8", length_mm=13_716)
    client.force_login(designer)
    _, chosen = apply(client, job, "feed gauge and gauge")
    feed, circuit = job.feeds.get(), job.circuits.get()
    sentence = f"Use {feed.awg} AWG for feed A and {circuit.awg} AWG for A-01."
    assert chosen.suggestion.sentence == sentence
    assert (feed.awg, circuit.awg) != ("8", "16")
    assert suggestions_of(job, "A-01") == []
    undo(client, job)
    assert (job.feeds.get().awg, job.circuits.get().awg) == ("8", "16")
