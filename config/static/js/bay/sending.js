// Sending: oldest first, one sender per device, again until the server has answered.
import { all, answer, changeIfRoom, fact, layUpReserve, look, setFact, settle, tidy } from "./store.js";
import { bytes, changed, page } from "./page.js";

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

// --- photos: stored whole under their SHA-256 before any entry names them; full is said beforehand ---

const KINDS = ["image/jpeg", "image/png", "image/webp"];
const STOP = 0.8; // of the space that the browser grants; the rest is kept for entries
const NEARLY = 0.7;

export class PhotoProblem extends Error {}

export async function space() {
  if (!navigator.storage || !navigator.storage.estimate) return null;
  const { usage = 0, quota = 0 } = await navigator.storage.estimate();
  return quota ? { usage, quota, share: usage / quota } : null;
}

const NO_ROOM = "This tablet has no room for more photos. Entries without a photo still work. Send " +
  "what is in the Outbox, then take the photo again.";

// A sentence once the tablet is nearly full, before anything is lost; empty otherwise.
export async function spaceWords() {
  const found = await space();
  const share = found ? found.share : 0;
  if (share >= STOP || !await layUpReserve()) return NO_ROOM;
  return share >= NEARLY ? `This tablet is nearly full (${bytes(found.usage)} of ` +
    `${bytes(found.quota)} used). Send what is in the Outbox soon.` : "";
}

async function mustFit(file, most) {
  if (!KINDS.includes(file.type)) {
    throw new PhotoProblem(`${file.name} is not a JPEG, PNG or WebP picture.`);
  }
  if (file.size > most) {
    throw new PhotoProblem(
      `${file.name} is ${bytes(file.size)}; at most ${bytes(most)} can be sent.`);
  }
  const found = await space();
  if (found && (found.usage + file.size) / found.quota >= STOP) {
    throw new PhotoProblem(NO_ROOM);
  }
}

const hex = (buffer) =>
  [...new Uint8Array(buffer)].map((byte) => byte.toString(16).padStart(2, "0")).join("");

// Store a chosen file; resolves once it is durable.
export async function keepPhoto(file, most) {
  await mustFit(file, most);
  const buffer = await file.arrayBuffer();
  const sha256 = hex(await crypto.subtle.digest("SHA-256", buffer));
  const blob = new Blob([buffer], { type: file.type });
  const kept = { sha256, blob, size: file.size, name: file.name, person: page.person };
  if (!await changeIfRoom(["photos"], ({ photos }) => answer(photos.put(kept)))) {
    throw new PhotoProblem(NO_ROOM);
  }
  return { sha256, size: file.size, name: file.name };
}

export const photo = (sha256) => look(["photos"], ({ photos }) => answer(photos.get(sha256)));
