import re
from urllib.parse import parse_qs, urlencode, urlsplit

import pytest
from django.urls import reverse

from jobs.build_sheet.control.example import example_of, play_example
from tests.browser import PHONE, TALL, WIDE, axe, scrolls_sideways
from tests.factories import make_job
from tests.jobs.build_sheet.control.rows import keep, keep_demo
from tests.jobs.controls.demo import demo_logic
from tests.jobs.controls.small import small_data

pytestmark = pytest.mark.django_db


def url(kept, **query):
    path = reverse("jobs:logic_simulator", args=[kept.job.number, kept.version])
    return f"{path}?{urlencode(query)}" if query else path


def hidden(page):
    """What the next press on this page sends along."""
    form = page.partition('class="simulator-form"')[2].partition("</form>")[0]
    return dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)">', form))


def press(client, kept, page, **more):
    return client.get(url(kept, **hidden(page), **more)).content.decode()


def test_a_signal_that_is_set_shows_what_follows(client, technician):
    kept = keep(small_data())
    client.force_login(technician)
    page = client.get(url(kept)).content.decode()
    assert "Power-up" in page
    page = press(client, kept, page, set="UP:on")
    assert "Changed: Mast up on." in page
    page = press(client, kept, page, set="PB:off")
    assert "Changed: Mast up off." in page


def test_a_delay_runs_out_by_letting_seconds_pass(client, technician):
    kept = keep_demo()
    client.force_login(technician)
    page = client.get(url(kept)).content.decode()
    page = press(client, kept, page, set="CMP_D:on")
    assert "Compartment open lamp on" in page
    assert "rule R30a begins in 60 s" in page
    page = press(client, kept, page, let="59")
    assert "rule R30a begins in 1 s" in page
    assert "No delay is running" in press(client, kept, page, let="1.5")


def test_the_address_of_a_page_shows_the_same_to_anybody(client, technician, inspector):
    kept = keep_demo()
    client.force_login(technician)
    address = url(kept, at="SL:3,IGN:run,GEAR:D", let="3")
    mine = client.get(address).content.decode()
    client.force_login(inspector)
    theirs = client.get(address).content.decode()
    assert hidden(mine) == hidden(theirs)
    assert hidden(mine)["was"]


def test_a_broken_interlock_is_named_with_its_reason(client, technician):
    kept = keep_demo("1.2")
    client.force_login(technician)
    page = client.get(url(kept, at="IGN:acc,PB:off,STA:off~")).content.decode()
    assert "Mast alarm whenever a raised mast is not parked" in page
    assert "Broken" in page


def test_each_step_of_a_counterexample_leads_to_the_break(client, technician):
    kept = keep_demo("1.2")
    client.force_login(technician)
    page = client.get(url(kept, example="I1")).content.decode()
    assert "step 1 of 3" in page and "Show previous step" not in page
    seen = 1
    while more := re.search(r'id="step-on" href="(\?[^"]+)"', page):
        query = parse_qs(urlsplit(more[1].replace("&amp;", "&")).query)
        page = client.get(url(kept, **{key: value[0] for key, value in query.items()}))
        page = page.content.decode()
        seen += 1
    assert seen == 3
    assert "A raised mast on the move" in page and "changed" in page
    assert "Changed: Overhead acknowledged" not in page
    page = press(client, kept, page, set="B_UP:off")
    assert "Mast up off" in page


@pytest.mark.parametrize("name", ["I1", "I2"])
def test_counterexamples_of_the_demo_end_in_a_broken_interlock(name):
    logic = demo_logic("1.2")
    example = example_of(logic, name)
    shown = play_example(logic, example, example.steps)
    assert name in {each.name for each in shown.broken}


def test_what_can_never_happen_has_a_page_without_steps(client, technician):
    data = small_data()
    data["rules"][0]["when"] = "UP AND NOT UP"
    data["interlocks"] = [{"name": "all", "label": "All", "kind": "output_reachable"}]
    kept = keep(data)
    client.force_login(technician)
    page = client.get(url(kept, example="all.MAST")).content.decode()
    assert "it never happens" in page


@pytest.mark.parametrize(
    "query",
    [{"example": "nothing"}, {"example": "I1", "step": "4"}, {"example": "I1", "step": "0"},
     {"example": "I1", "step": "x"}, {"example": ""}, {"example": "I1" * 5_000}],
)  # fmt: skip
def test_a_counterexample_that_is_not_there_is_not_found(client, technician, query):
    client.force_login(technician)
    assert client.get(url(keep_demo("1.2"), **query)).status_code == 404


@pytest.mark.parametrize(
    "query",
    [{"at": "NOPE:on"}, {"set": "GEAR:X"}, {"let": "1e99"}, {"was": "no"}, {"at": "A" * 10_000},
     {"was": ";" * 10_000}],
)  # fmt: skip
def test_a_hostile_address_gets_a_sentence_and_a_fresh_start(client, technician, query):
    kept = keep(small_data())
    client.force_login(technician)
    response = client.get(url(kept, **query))
    page = response.content.decode()
    assert response.status_code == 422
    assert "Shown instead" in page
    assert "at" not in hidden(page)


def test_parameters_that_mean_nothing_are_left_alone(client, technician):
    client.force_login(technician)
    assert client.get(url(keep(small_data()), x="y", style="z")).status_code == 200


def test_the_simulator_of_an_empty_version_says_so(client, technician):
    client.force_login(technician)
    page = client.get(url(keep({}))).content.decode()
    assert "no signals yet" in page and "drives no output yet" in page


def test_the_simulator_is_only_read_and_only_where_there_is_a_version(client, technician):
    kept = keep(small_data())
    assert client.get(url(kept)).status_code == 302
    client.force_login(technician)
    assert client.post(url(kept)).status_code == 405
    path = reverse("jobs:logic_simulator", args=[make_job().number, kept.version])
    assert client.get(path).status_code == 404


def test_words_of_the_shop_are_escaped(client, technician):
    data = small_data()
    data["signals"][0]["label"] = "<script>x</script>"
    client.force_login(technician)
    page = client.get(url(keep(data))).content.decode()
    assert "<script>x" not in page.lower()


@pytest.mark.browser
@pytest.mark.slow
@pytest.mark.parametrize("mode", ["paper", "night", "glare"])
def test_the_simulator_is_worked_by_keyboard_and_keeps_the_place(open_as, technician, mode):
    kept = keep_demo()
    page = open_as(technician, url(kept), mode=mode)
    button = page.locator("#set-CMP_D-2")
    button.focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**set=CMP_D**")
    page.wait_for_function("document.activeElement.id === 'set-CMP_D-2'")
    assert "Compartment open lamp on" in page.locator("#simulator-says").inner_text()
    assert page.locator("#set-CMP_D-2").get_attribute("aria-pressed") == "true"
    axe(page)
    for size in (WIDE, TALL, PHONE):
        page.set_viewport_size(size)
        assert not scrolls_sideways(page)
