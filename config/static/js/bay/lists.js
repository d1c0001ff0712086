// Lists: what this tablet recorded since the page was made, and keeping the pages they lead to.
import { newest, status, SENT, verdict, WORD } from "./entry.js";
import { newerThanPage } from "./events.js";
import { clock, onChange, page } from "./page.js";

const FRESH_MS = 10 * 60 * 1000;
const AT_ONCE = 3;
const fromPage = new WeakMap(); // what the server showed in each place

async function showList(list) {
  const { job, unit } = list.dataset;
  const local = await newerThanPage(job, unit);
  for (const item of list.querySelectorAll("[data-check]")) {
    const mine = newest(local, item.dataset.check);
    const place = item.querySelector(".check-state");
    if (!fromPage.has(place)) fromPage.set(place, [...place.childNodes]);
    if (!mine) {
      place.replaceChildren(...fromPage.get(place));
      continue;
    }
    const found = verdict(item.dataset, mine.body.pressed, mine.body.value_typed || "");
    place.replaceChildren(status(found, WORD[found]), ` ${SENT[mine.sending.state]}`);
  }
}

export async function startLists() {
  for (const list of document.querySelectorAll("[data-overlay]")) {
    onChange(() => showList(list));
    await showList(list);
  }
}

async function isFresh(url) {
  const kept = await caches.match(url);
  return kept && Date.now() - Date.parse(kept.headers.get("Date") || 0) < FRESH_MS;
}

async function keep(url, anyway) {
  if (!anyway && await isFresh(url)) return true;
  try {
    const response = await fetch(url, { headers: { "X-Keep": "1" }, redirect: "manual" });
    await response.blob();
    return response.ok;
  } catch {
    return false;
  }
}

// Fetch this page and those it names, so that they open without a connection.
export async function keepPages() {
  if (!navigator.serviceWorker || navigator.onLine === false) return;
  await navigator.serviceWorker.ready;
  if (!navigator.serviceWorker.controller) {
    await new Promise((go) =>
      navigator.serviceWorker.addEventListener("controllerchange", go, { once: true }));
  }
  await keep(location.href, true);
  await Promise.all([keep("/"), keep(page.outbox)]);
  const links = [...document.querySelectorAll("a[data-keep]")].map((link) => link.href);
  const words = document.getElementById("bay-ready");
  const todo = [...new Set(links)];
  let good = 0;
  let done = 0;
  const work = async () => {
    for (let url = todo.shift(); url; url = todo.shift()) {
      const kept = await keep(url); // not "good += await": others count meanwhile
      good += kept;
      done += 1;
      if (words && done % 10 === 0) words.textContent = `Keeping ${done} of ${done + todo.length} pages.`;
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, work));
  if (!words) return;
  words.textContent = good === done ? `Ready offline at ${clock(Date.now())}, ${done} pages.`
    : `${good} of ${done} pages are kept. Open this page again with a connection.`;
  words.dataset.ready = good === done ? "1" : "";
}
