import re

import pytest
from django.urls import reverse

from jobs.models import Circuit, CircuitLoad
from tests.browser import PHONE, TALL, WIDE, axe, scrolls_sideways
from tests.factories import make_job, make_line, make_unit, make_wired_job


def url(name, job):
    return reverse(f"jobs:{name}", args=[job.number])


def many_circuits(count):
    """A job with so many circuits on one feed, each with its load."""
    job = make_wired_job()
    first = Circuit.objects.get()
    made = Circuit.objects.bulk_create(
        Circuit(
            job=job, feed=first.feed, ref=f"A-{number:03}",
            designation=f"Warning lights of place {number}", device_kind="fuse_blade",
            device_ma=10_000, awg="12", length_mm=first.length_mm, label=f"A-{number:03}",
        )
        for number in range(2, count + 1)
    )  # fmt: skip
    line = job.lines.get()
    CircuitLoad.objects.bulk_create(CircuitLoad(circuit=each, line=line) for each in made)
    return job


@pytest.mark.django_db
def test_single_line_draws_the_design_with_a_table_twin(client, technician):
    client.force_login(technician)
    words = client.get(url("single_line", make_wired_job())).content.decode()
    assert words.count("<svg") >= 2
    assert 'aria-labelledby="line-a-1-title line-a-1-words"' in words
    assert "Circuits of feed A" in words and "Supplies and feeds" in words
    assert "style=" not in words.partition("<svg")[2]


@pytest.mark.django_db
def test_single_line_of_an_empty_job_says_how_to_start(client, technician):
    client.force_login(technician)
    assert "Nothing to draw yet" in client.get(url("single_line", make_job())).content.decode()


@pytest.mark.django_db
def test_single_line_survives_missing_data(client, technician):
    job = make_wired_job(awg="", device_ma=None, length_mm=None)
    client.force_login(technician)
    words = client.get(url("single_line", job)).content.decode()
    assert "no size" in words and "Data missing" in words


@pytest.mark.django_db
def test_single_line_escapes_what_people_typed(client, technician):
    client.force_login(technician)
    job = make_wired_job(designation="<script>x</script> & Ω")
    words = client.get(url("single_line", job)).content.decode()
    assert "<script>x" not in words and "&lt;script&gt;" in words


@pytest.mark.django_db
def test_single_line_asks_the_database_no_more_for_120_circuits(
    client, technician, django_assert_max_num_queries
):
    client.force_login(technician)
    job = many_circuits(120)
    with django_assert_max_num_queries(45):
        words = client.get(url("single_line", job)).content.decode()
    assert all(f"A-{number:03}" in words for number in range(2, 121))
    assert len(re.findall(r'id="line-a-\d+-title"', words)) == 8


@pytest.mark.django_db
def test_zone_plan_draws_lines_and_lists_them(client, technician):
    job = make_job()
    make_unit(job=job)
    make_line(job=job, ref="L01", zone="roof")
    make_line(job=job, ref="L02", x_mm=None)
    client.force_login(technician)
    words = client.get(url("zone_plan", job)).content.decode()
    assert words.count("<svg") >= 1
    assert "Place not entered" in words
    assert "Build lines by zone" in words


@pytest.mark.django_db
def test_zone_plan_of_an_empty_job_says_how_to_start(client, technician):
    client.force_login(technician)
    assert "No build line yet" in client.get(url("zone_plan", make_job())).content.decode()


@pytest.mark.django_db
@pytest.mark.parametrize("name", ["single_line", "zone_plan"])
def test_pictures_of_an_unknown_job_are_not_found_and_only_read(client, technician, name):
    client.force_login(technician)
    assert client.get(reverse(f"jobs:{name}", args=["J-0"])).status_code == 404
    assert client.post(url(name, make_job())).status_code == 405


# Every pair of words of one drawing whose drawn rectangles overlap by more than a hair.
OVERLAPS = """() => [...document.querySelectorAll('svg.picture')].flatMap(svg => {
  const found = [];
  const words = [...svg.querySelectorAll('text')].map(t => [t.textContent, t.getBBox()]);
  const sheet = svg.viewBox.baseVal;
  words.forEach(([one, a], i) => {
    if (a.x < -0.5 || a.x + a.width > sheet.width + 0.5) found.push(one + ' leaves the sheet');
    words.slice(i + 1).forEach(([other, b]) => {
      const across = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
      const down = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
      if (across > 0.5 && down > 0.35 * Math.min(a.height, b.height)) found.push([one, other]);
    });
  });
  return found;
})"""


@pytest.mark.browser
@pytest.mark.slow
@pytest.mark.parametrize("mode", ["paper", "night", "glare"])
def test_single_line_of_120_circuits_is_readable_in_a_browser(open_as, technician, mode):
    job = many_circuits(120)
    page = open_as(technician, url("single_line", job), mode=mode)
    page.evaluate("() => document.fonts.ready")
    assert page.evaluate(OVERLAPS) == []
    axe(page)
    for size in (WIDE, TALL, PHONE):
        page.set_viewport_size(size)
        assert not scrolls_sideways(page)
