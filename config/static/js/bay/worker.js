// Serves the bay without a connection. Keeps only pages that say for whom (X-Keep-For), shows them
// to that person only, and never touches anything but reading. The server puts SHOP before this.
/* global SHOP */
"use strict";
const ASSETS = `assets-${SHOP.release}`;
const PAGES = `pages-${SHOP.release}-`;
const WHO = "who";
const KEEP_FOR = "X-Keep-For";
const PATIENCE_MS = 3000;

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting();
});

async function install() {
  const cache = await caches.open(ASSETS);
  await cache.addAll(SHOP.assets);
  // Without cookies, so that it says nothing about anybody.
  await cache.add(new Request(SHOP.offline, { credentials: "omit" }));
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== self.location.origin) return;
  if (request.method === "POST" && url.pathname === SHOP.signOut) event.waitUntil(forget());
  // Somebody is about to take over: until their first page is here, nobody's is shown.
  if (request.method === "POST" && SHOP.takeOver.some((path) => url.pathname.startsWith(path))) {
    event.waitUntil(setWho(""));
  }
  if (request.method !== "GET") return;
  if (url.pathname.startsWith(SHOP.static)) event.respondWith(asset(request));
  else if (request.mode === "navigate") event.respondWith(page(event));
  else if (request.headers.has("X-Keep")) event.respondWith(fetchAndKeep(request));
});

async function asset(request) {
  if (SHOP.fresh) {
    try {
      return await fetch(request);
    } catch { /* then from the store */ }
  }
  const kept = await caches.match(request);
  if (kept) return kept;
  const response = await fetch(request);
  if (response.ok) (await caches.open(ASSETS)).put(request, response.clone());
  return response;
}

async function page(event) {
  const { request } = event;
  const kept = await keptPage(request.url);
  const network = fetch(request);
  event.waitUntil(network.then((response) => note(request.url, response.clone())).catch(() => {}));
  try {
    const response = await (kept ? within(PATIENCE_MS, network) : network);
    return kept && [502, 503, 504].includes(response.status) ? kept : response;
  } catch {
    return kept || (await caches.match(SHOP.offline)) || Response.error();
  }
}

function within(ms, promise) {
  return Promise.race([promise, new Promise((_, late) => setTimeout(late, ms))]);
}

async function fetchAndKeep(request) {
  const response = await fetch(request);
  await note(request.url, response.clone());
  return response;
}

// Keep a page for the person it names; note that nobody is signed in when the sign-in page opens.
async function note(url, response) {
  const person = response.headers.get(KEEP_FOR);
  if (person && response.ok && !response.redirected) {
    const cache = await caches.open(PAGES + person);
    await cache.put(plain(url), response);
    if ((await who()) !== person) await setWho(person);
    await forgetOldReleases();
  } else if (response.ok && new URL(url).pathname === SHOP.signIn) await setWho("");
}

const plain = (url) => url.split("#")[0];

async function keptPage(url) {
  const person = await who();
  if (!person) return undefined;
  const names = (await caches.keys()).filter((name) => name.endsWith(`-${person}`) &&
    name.startsWith("pages-"));
  names.sort((one) => (one === PAGES + person ? -1 : 1));
  for (const ignoreSearch of [false, true]) {
    for (const name of names) {
      const found = await (await caches.open(name)).match(plain(url), { ignoreSearch });
      if (found) return found;
    }
  }
  return undefined;
}

async function who() {
  const found = await (await caches.open(WHO)).match("/who");
  return found ? found.text() : "";
}

const setWho = async (person) => (await caches.open(WHO)).put("/who", new Response(person));

// Pages and files of an earlier release go once a page of this one is kept, never while offline.
async function forgetOldReleases() {
  for (const name of await caches.keys()) {
    if (name !== WHO && name !== ASSETS && !name.startsWith(PAGES)) await caches.delete(name);
  }
}

// Signing out: nobody's pages stay. Entries are not in these caches and stay.
async function forget() {
  await setWho("");
  for (const name of await caches.keys()) if (name.startsWith("pages-")) await caches.delete(name);
}
