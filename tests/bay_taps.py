"""From a finger's tap to the painted words "Saved here", on a tablet with a slow processor."""

from pathlib import Path

from playwright.sync_api import Locator, Page

from tests.bay import fill, open_check

SLOWED = 6
SAVED_MS = 100
REFS = [f"C-{place:02d}" for place in range(1, 6)]

# The clock starts where the browser says that the finger left the glass.
WATCH = """() => {
  let tapped = 0;
  let done;
  window.painted = new Promise((go) => { done = go; });
  for (const said of document.querySelectorAll('#undo [data-saved]')) delete said.dataset.saved;
  addEventListener('click', (event) => { tapped = event.timeStamp; }, true);
  new MutationObserver(() => {
    if (!tapped || !document.querySelector('#undo [data-saved]')) return;
    requestAnimationFrame(() => setTimeout(() => done(performance.now() - tapped)));
  }).observe(document.getElementById('undo'),
    { attributes: true, childList: true, characterData: true, subtree: true });
}"""


def saved_after(page: Page, path: str, picture: Path, *, taps: int) -> list[float]:
    """Milliseconds of so many taps on Fail without a connection, every fifth with a photo."""
    tools = page.context.new_cdp_session(page)
    tools.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    page.context.set_offline(True)
    took = []
    for count in range(taps):
        ref = REFS[count % len(REFS)]
        page.goto(f"{path}{ref}/")
        open_check(page, path, ref)
        fill(page, picture if ref == "C-03" else None)
        page.wait_for_timeout(700)  # whoever looks at the vehicle taps later than this
        page.evaluate(WATCH)
        _touch(page, page.get_by_role("button", name="Fail", exact=True))  # the page stays
        took.append(float(page.evaluate("() => window.painted")))
    tools.send("Emulation.setCPUThrottlingRate", {"rate": 1})
    return took


def _touch(page: Page, button: Locator) -> None:
    """A finger: Playwright's own click measures the button while the page handles the tap."""
    box = button.bounding_box()
    assert box is not None
    at = {"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2}
    tools = page.context.new_cdp_session(page)
    tools.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [at]})
    page.wait_for_timeout(80)
    tools.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    tools.detach()
