// Sending: oldest first, one sender per device, again until the server has answered.
import { all, settle, tidy } from "./events.js";
import { fact, setFact } from "./db.js";
import { changed, page } from "./page.js";
import { photo } from "./photos.js";

const BATCH = 50;
const EVERY_MS = 5000;
const LONGEST_WAIT_MS = 60000;
const PATIENCE_MS = 30000;
// What the server's answer means for the entry here.
const STATES = {
  accepted: "sent", conflict: "sent", late: "sent", waiting: "waiting", refused: "refused",
  aside: "aside",
};

export const line = { state: "unknown", contact: 0, clock: 0, sending: 0 };
let failures = 0;
let next = 0;

class Silent extends Error {}
class Closed extends Error {}

function token() {
  const found = document.cookie.match(/(?:^|; )(?:__Host-)?csrf=([^;]+)/);
  return found ? found[1] : "";
}

async function ask(url, options = {}) {
  let response;
  try {
    response = await fetch(url, {
      redirect: "manual", cache: "no-store", signal: AbortSignal.timeout(PATIENCE_MS), ...options,
      headers: { "X-CSRFToken": token(), ...options.headers },
    });
  } catch {
    throw new Silent();
  }
  if (response.type === "opaqueredirect" || response.status === 401) throw new Closed();
  if (response.status >= 500) throw new Silent();
  return response;
}

// Who is signed in at the server, and how far this clock is off.
async function hello() {
  const asked = Date.now();
  const response = await ask(page.sync);
  if (!response.ok) throw new Closed();
  const { person, time } = await response.json();
  line.clock = Math.round((asked + Date.now()) / 2 - time);
  line.contact = Date.now();
  await setFact("contact", { at: line.contact, clock: line.clock });
  if (person !== page.person) throw new Closed();
}

async function sendBatch(batch) {
  const response = await ask(`${page.sync}events/`, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ sent_at: Date.now(), events: batch.map(told) }),
  });
  if (response.status === 403) throw new Closed();
  if (!response.ok) throw new Silent();
  const { answers, time } = await response.json();
  const known = answers.filter((one) => STATES[one.answer]);
  await settle(known.map(({ id, answer, sentence }) => ({ id, state: STATES[answer], sentence })),
    time);
  return { missing: answers.flatMap((one) => one.photos || []), known };
}

// An entry as the server is told it, with its place in the order.
const told = ({ body, number }) => ({ ...body, number });

// A photo that the server will never take makes its entries need somebody.
async function sendPhoto(sha256, batch) {
  const found = await photo(sha256);
  const owners = batch.filter((one) => (one.body.photos || []).includes(sha256));
  const refuse = (sentence) =>
    settle(owners.map(({ id }) => ({ id, state: "refused", sentence })), Date.now());
  if (!found) return refuse("A photo of this entry is no longer on this tablet.");
  const response = await ask(`${page.sync}photos/${sha256}/`, {
    method: "PUT", headers: { "Content-Type": found.blob.type }, body: found.blob,
  });
  if ([413, 422].includes(response.status)) return refuse((await response.json()).sentence);
  if (!response.ok) throw new Silent();
  return undefined;
}

const due = async () =>
  (await all()).filter((one) =>
    one.person === page.person && ["saved", "waiting"].includes(one.sending.state));

async function drain() {
  for (;;) {
    const open = await due();
    line.sending = open.length;
    changed();
    if (!open.length) return;
    const batch = open.slice(0, BATCH);
    const { missing, known } = await sendBatch(batch);
    for (const sha256 of new Set(missing)) await sendPhoto(sha256, batch);
    if (!missing.length && !known.some((one) => one.answer !== "waiting")) return;
  }
}

async function run() {
  if (!(await due()).length && line.contact) return;
  try {
    await hello();
    line.state = "open";
    await drain();
    failures = 0;
  } catch (error) {
    if (!(error instanceof Silent || error instanceof Closed)) throw error;
    line.state = error instanceof Closed ? "closed" : "silent";
    failures += 1;
    next = Date.now() + Math.min(1000 * 2 ** failures, LONGEST_WAIT_MS) * (0.75 + Math.random() / 2);
  } finally {
    line.sending = 0;
    changed();
  }
}

// One sender on the device, however many pages are open. `now` does not wait for the next turn.
export function send({ now = false } = {}) {
  if (!now && Date.now() < next) return Promise.resolve();
  if (!navigator.locks) return run();
  return navigator.locks.request("bay-send", { ifAvailable: true }, (lock) => lock && run());
}

export async function startSending() {
  const last = await fact("contact");
  if (last) line.clock = last.clock;
  if (navigator.onLine === false) line.state = "silent";
  window.addEventListener("online", () => send({ now: true }));
  window.addEventListener("offline", () => { line.state = "silent"; changed(); });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") send({ now: true });
  });
  setInterval(send, EVERY_MS);
  await send({ now: true });
  await tidy();
}
