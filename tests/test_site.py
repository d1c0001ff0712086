"""What every page shares, script (config/static/js/site.js) and frame, in a real browser."""

import pytest

from tests.browser import PHONE, axe, scrolls_sideways
from tests.factories import make_unit

pytestmark = [pytest.mark.browser, pytest.mark.slow]

# A button that asks the server for something, put into the page the way a room would.
ADD_BUTTON = """([verb, path]) => {
  const button = document.createElement('button');
  button.id = 'ask'; button.className = 'btn'; button.textContent = 'Ask'; button.type = 'button';
  button.setAttribute(`hx-${verb}`, path);
  button.setAttribute('hx-target', '#answer');
  const answer = document.createElement('div');
  answer.id = 'answer';
  document.querySelector('main').append(button, answer);
  htmx.process(button);
}"""


def ask(page, verb: str, path: str) -> None:
    page.evaluate(ADD_BUTTON, [verb, path])
    page.locator("#ask").click()


def test_an_htmx_post_proves_where_it_comes_from(open_as, manager):
    page = open_as(manager, "/style/")
    with page.expect_response("**/mode/") as caught:
        ask(page, "post", "/mode/")
    assert caught.value.request.headers["x-csrftoken"]
    assert caught.value.status == 422


@pytest.mark.parametrize(
    ("status", "words"),
    [(500, "The server could not do this."), (409, "Somebody else changed this meanwhile.")],
)
def test_a_refused_request_says_so_and_can_be_tried_again(open_as, manager, status, words):
    page = open_as(manager, "/style/")
    answers = iter([status, 200])
    page.route("**/ask/", lambda route: route.fulfill(status=next(answers), body="<p>Done</p>"))
    ask(page, "get", "/ask/")
    alert = page.get_by_role("alert").filter(has_text=words)
    alert.wait_for()
    axe(page)
    alert.get_by_role("button", name="Try again").click()
    page.locator("#answer", has_text="Done").wait_for()
    assert not page.locator("#trouble").is_visible()


def test_a_silent_server_is_named_as_such(open_as, manager):
    page = open_as(manager, "/style/")
    page.route("**/ask/", lambda route: route.abort())
    ask(page, "get", "/ask/")
    page.get_by_role("alert").filter(has_text="The server did not answer.").wait_for()


def test_an_ended_session_leads_from_a_fragment_to_sign_in(open_as, manager):
    page = open_as(manager, "/style/")
    page.context.clear_cookies(name="session")
    ask(page, "get", "/people/")
    page.wait_for_url("**/in/?next=**")
    assert "next=%2Fstyle%2F" in page.url


def ground(page) -> str:
    return page.evaluate("() => getComputedStyle(document.documentElement).backgroundColor")


def test_the_display_switches_at_once_and_stays(open_as, manager):
    page = open_as(manager, "/style/")
    page.context.set_offline(True)
    page.get_by_role("button", name="Night", exact=True).click()
    assert ground(page) == "rgb(16, 21, 26)"
    page.context.set_offline(False)
    page.reload()
    assert ground(page) == "rgb(16, 21, 26)"
    pressed = page.locator(".modes [aria-pressed=true]")
    assert pressed.inner_text() == "Night"


def test_the_glare_switch_leads_there_and_back(open_as, technician):
    page = open_as(technician, "/style/bay/", mode="auto")
    switch = page.get_by_role("button", name="Glare")
    assert switch.bounding_box()["height"] >= 64
    switch.click()
    assert ground(page) == "rgb(255, 255, 255)"
    assert switch.get_attribute("aria-pressed") == "true"
    switch.click()
    assert ground(page) == "rgb(245, 243, 238)"


def test_the_display_switches_without_scripts(open_as, manager):
    page = open_as(manager, "/people/", java_script_enabled=False)
    page.get_by_role("button", name="Night", exact=True).click()
    assert page.url.endswith("/people/")
    assert page.locator(".modes [aria-pressed=true]").inner_text() == "Night"


def test_on_a_phone_the_rooms_leave_room_for_the_page(open_as, owner):
    """With every room of shop, job and unit on offer the page still begins in the upper half."""
    unit = make_unit(number="SR-4")
    page = open_as(owner, f"/jobs/{unit.job.number}/units/SR-4/packet/", viewport=PHONE)
    assert page.locator("h1").bounding_box()["y"] < PHONE["height"] / 2
    for current in page.locator("nav [aria-current]").all():
        box = current.bounding_box()
        assert box["x"] >= 0 and box["x"] + box["width"] <= PHONE["width"], current.inner_text()
    assert not scrolls_sideways(page)
