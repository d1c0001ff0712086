// The check list: what this tablet recorded since the page was made, counted and filtered like that.
import { able, newest, onChange, page, SENT, status, STATE } from "./page.js";
import { newerThanPage, sincePage } from "./store.js";
import { stateHere } from "./states.js";

const list = document.getElementById("checks");
const items = [...document.querySelectorAll("[data-check]")];
const fromPage = new Map(items.map((item) => {
  const place = item.querySelector(".check-state");
  return [item, [...place.childNodes]];
}));
const asked = (name) => new URLSearchParams(location.search).get(name) || "";

function showState(item, state, mine) {
  const place = item.querySelector(".check-state");
  if (!mine && state === item.dataset.state) return place.replaceChildren(...fromPage.get(item));
  const sent = mine ? ` ${SENT[mine.sending.state]}` : "";
  return place.replaceChildren(status(state, STATE[state]), sent);
}

// The shop filters its pages itself; a page that the tablet kept holds every check.
function filter(states) {
  for (const item of items) {
    item.hidden = Boolean(asked("state") && states.get(item) !== asked("state")) ||
      Boolean(asked("stage") && item.dataset.stage !== asked("stage"));
  }
  for (const section of list.querySelectorAll("section")) {
    section.hidden = !section.querySelector("[data-check]:not([hidden])");
  }
  document.getElementById("no-match").hidden = !items.length || items.some((item) => !item.hidden);
}

// Checks that the page does not show keep the number that the shop counted.
function count(states) {
  for (const chip of document.querySelectorAll("[data-count]")) {
    const state = chip.dataset.count;
    const moved = items.reduce((sum, item) =>
      sum + (states.get(item) === state) - (item.dataset.state === state), 0);
    const now = Number(chip.dataset.shop) + moved;
    chip.textContent = now;
    chip.closest("li").hidden = !now && state !== asked("state");
  }
  for (const link of document.querySelectorAll("[data-chip]")) {
    if (link.dataset.value === asked(link.dataset.chip)) link.setAttribute("aria-current", "true");
    else link.removeAttribute("aria-current");
  }
}

async function show() {
  const { job, unit } = list.dataset;
  const known = JSON.parse(document.getElementById("events").textContent);
  const entries = await sincePage(job, unit);
  const shown = await newerThanPage(job, unit);
  const states = new Map(items.map((item) => {
    const ref = item.dataset.check;
    const about = entries.filter((one) => one.body.check === ref);
    return [item, stateHere({ ...item.dataset, ...known[ref] }, about)];
  }));
  for (const item of items) showState(item, states.get(item), newest(shown, item.dataset.check));
  count(states);
  filter(states);
}

if (page && able && list) {
  onChange(show);
  show();
}
