// What every page of the bay has: the state of sending, entries on lists, pages kept for offline.
// Without a safe connection or a store the forms go straight to the shop.
import { able, clock, element, onChange, page } from "./page.js";
import { ready, unsent } from "./store.js";
import { line, spaceWords, startSending } from "./sending.js";

// --- the state of sending, always in the header, in one of five phrases; and that we are offline ---

const SPEAK_MS = 10000;
let spoken = 0;
let later = 0;

export function phrase(items) {
  const own = items.filter((one) => one.person === page.person);
  const refused = own.filter((one) => one.sending.state === "refused").length;
  if (refused) return `${refused} need you`;
  if (!own.length) return "All sent";
  if (line.state === "closed") return `Sign in to send ${own.length}`;
  if (line.sending) return `Sending ${own.length}`;
  return `${own.length} saved here`;
}

// Screen readers hear it at most once in ten seconds, and always the newest.
function speak(text) {
  const region = document.getElementById("bay-spoken");
  clearTimeout(later);
  const say = () => {
    if (region.textContent !== text) region.textContent = text;
    spoken = Date.now();
  };
  const wait = spoken + SPEAK_MS - Date.now();
  if (wait <= 0) say();
  else later = setTimeout(say, wait);
}

function showOffline() {
  const box = document.getElementById("bay-offline");
  if (!box) return;
  box.hidden = line.state !== "silent";
  if (!box.hidden && !box.dataset.said) {
    box.dataset.said = "1";
    box.replaceChildren(element("span", {}, element("strong", {}, "Offline, saved here."),
      ` This page is from ${clock(page.rendered)}.`));
  }
}

async function show() {
  const words = phrase(await unsent());
  const link = document.getElementById("bay-sync");
  link.hidden = false;
  if (link.textContent !== words) link.textContent = words;
  link.dataset.open = words === "All sent" ? "" : "1";
  speak(words);
  showOffline();
}

async function warnOfSpace() {
  const words = await spaceWords();
  const box = document.getElementById("bay-space");
  if (!box) return;
  box.textContent = words;
  box.hidden = !words;
}

export async function startWords() {
  if (!document.getElementById("bay-sync")) return;
  onChange(show);
  await show();
  await warnOfSpace();
}

// --- keeping pages, so that they open without a connection ---

const FRESH_MS = 10 * 60 * 1000;
const AT_ONCE = 3;

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

// --- starting ---

async function startWorker() {
  if (!navigator.serviceWorker) return;
  const registration = await navigator.serviceWorker.register(page.worker);
  // A new version waits while anything is unsent.
  if (registration.waiting && !(await unsent()).length) registration.waiting.postMessage("take over");
}

// Leaving with unsent entries is said once; they stay under the person's name.
function guardSignOut() {
  for (const form of document.querySelectorAll("form[action$='/out/']")) {
    form.addEventListener("submit", async (event) => {
      if (form.dataset.warned) return;
      event.preventDefault();
      const own = (await unsent()).filter((one) => one.person === page.person);
      form.dataset.warned = "1";
      if (!own.length) return form.requestSubmit();
      const words = own.length === 1 ? "1 entry is not sent." : `${own.length} entries are not sent.`;
      const told = element("p", { class: "notice notice-wait", role: "alert" },
        `${words} They stay on this tablet under your name. Sign out again to leave.`);
      return document.getElementById("main").prepend(told);
    });
  }
}

async function start() {
  guardSignOut();
  ready();
  await startWords();
  startWorker().then(keepPages).catch(() => {}); // without it the pages only need a connection
  if (navigator.storage && navigator.storage.persist) navigator.storage.persist();
  await startSending();
}

if (page && able) start();
