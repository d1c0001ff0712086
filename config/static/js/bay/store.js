// The device's own store. A write counts once its transaction is complete, forced to the disk.
import { changed, page, painted } from "./page.js";

const NAME = "bay";
const VERSION = 1;
let opening = null;

function build(db) {
  // Immutable: added under a running number, never changed.
  db.createObjectStore("events", { keyPath: "number", autoIncrement: true });
  db.createObjectStore("sending", { keyPath: "id" }); // what became of each event
  db.createObjectStore("photos", { keyPath: "sha256" });
  db.createObjectStore("drafts", { keyPath: "key" });
  db.createObjectStore("facts", { keyPath: "key" });
}

function open() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => build(request.result);
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      const db = request.result;
      db.onversionchange = () => db.close();
      db.onclose = () => (opening = null);
      resolve(db);
    };
  });
  opening.catch(() => (opening = null));
  return opening;
}

export const answer = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

async function run(names, mode, work) {
  const db = await open();
  const transaction = db.transaction(names, mode, { durability: "strict" });
  const stores = Object.fromEntries(names.map((name) => [name, transaction.objectStore(name)]));
  const complete = new Promise((resolve, reject) => {
    transaction.oncomplete = resolve;
    transaction.onabort = () => reject(transaction.error || new Error("The store gave up."));
  });
  try {
    const value = await work(stores);
    transaction.commit(); // at once: without it the browser asks back before it writes
    await complete;
    return value;
  } catch (error) {
    complete.catch(() => {});
    try {
      transaction.abort();
    } catch { /* it already has ended */ }
    throw error;
  }
}

// Browsers may grant less than they say. A reserve is laid up beforehand: while it can be, nothing
// is full; photos may not touch it, and giving it up makes room for entries without a photo.
const RESERVE_BYTES = 2 * 1024 * 1024;

export async function layUpReserve() {
  if (await fact("reserve")) return true;
  try {
    await setFact("reserve", new Blob([new Uint8Array(RESERVE_BYTES)]));
    return true;
  } catch {
    return false;
  }
}

const isFull = (error) => error && error.name === "QuotaExceededError";

async function giveUpReserve() {
  if (!await fact("reserve")) return false;
  await run(["facts"], "readwrite", ({ facts }) => answer(facts.delete("reserve")));
  return true;
}

// Resolves only when everything that `work` wrote is durable.
export async function change(names, work) {
  try {
    return await run(names, "readwrite", work);
  } catch (error) {
    if (!isFull(error) || !await giveUpReserve()) throw error;
    return run(names, "readwrite", work);
  }
}

// For what is large: false when there is no room for it beside the reserve.
export async function changeIfRoom(names, work) {
  try {
    await run(names, "readwrite", work);
    return true;
  } catch (error) {
    if (!isFull(error)) throw error;
    return false;
  }
}

export const look = (names, work) => run(names, "readonly", work);

export async function fact(key) {
  const found = await look(["facts"], ({ facts }) => answer(facts.get(key)));
  return found ? found.value : undefined;
}

export const setFact = (key, value) =>
  run(["facts"], "readwrite", ({ facts }) => answer(facts.put({ key, value })));

// --- entries: each tap is written here, whole and for good, before anything is sent ---

const KEEP_SENT_MS = 24 * 3600 * 1000;
export const OPEN = ["saved", "waiting", "refused"]; // not yet at its end

const NEW = { state: "saved", sentence: "", answered: 0 };

// The device names itself once.
async function name() {
  const known = await fact("device");
  if (known) return known;
  const made = crypto.randomUUID();
  await setFact("device", made);
  return made;
}

let device = null;

// Ask early, so that the first tap does not wait for it.
export function ready() {
  device ??= name();
  return device;
}

// Store one entry: one write, nothing read before it. `words` is how people read the entry, `size`
// counts its photos too. The running number that the store gives it is its place in the order.
export async function record(fields, words, { size = 0, draft = null } = {}) {
  const id = crypto.randomUUID();
  const now = Date.now();
  const body = { v: 1, id, device: await ready(), person: page.person, at_device: now, ...fields };
  const made = { id, words, person: page.person, name: page.name, made: now, body };
  made.size = JSON.stringify(body).length + size;
  await change(["events", "drafts"], ({ events, drafts }) => {
    events.add(made);
    if (draft) drafts.delete(draft);
  });
  painted().then(changed);
  return made;
}

// Every entry on the device with what became of it, oldest first.
export async function all() {
  const [events, sending] = await look(["events", "sending"], (stores) =>
    Promise.all([answer(stores.events.getAll()), answer(stores.sending.getAll())]));
  const states = new Map(sending.map((one) => [one.id, one]));
  return events.map((event) => ({ ...event, sending: states.get(event.id) || NEW }));
}

export async function unsent() {
  return (await all()).filter((event) => OPEN.includes(event.sending.state));
}

// Entries about one unit that the shown page cannot know yet.
export async function sincePage(job, unit) {
  return (await all()).filter(
    ({ body: { job: j, unit: u }, person, sending }) =>
      j === job && u === unit && person === page.person && sending.state !== "aside" &&
      (sending.state !== "sent" || sending.answered > page.rendered));
}

// The same without what was taken back.
export async function newerThanPage(job, unit) {
  const here = await sincePage(job, unit);
  const taken = new Set(here.filter((one) => one.body.kind === "void").map((one) => one.body.of));
  return here.filter((one) => one.body.kind !== "void" && !taken.has(one.id));
}

// Keep what the server said. `answered` is the server's clock.
export async function settle(answers, answered) {
  await change(["sending"], ({ sending }) => {
    for (const { id, state, sentence } of answers) {
      sending.put({ id, state, sentence: sentence || "", answered });
    }
  });
  changed();
}

export async function again(id) {
  await settle([{ id, state: "saved", sentence: "" }], 0);
}

// What the server has stored and answered a day ago need not stay here.
export async function tidy() {
  const before = Date.now() - KEEP_SENT_MS;
  const old = (await all()).filter(
    ({ made, sending }) => !OPEN.includes(sending.state) && made < before);
  if (!old.length) return;
  const kept = new Set(
    (await all()).filter((one) => !old.some(({ id }) => id === one.id))
      .flatMap((one) => one.body.photos || []));
  await change(["events", "sending", "photos"], (stores) => {
    for (const { id, number, body: { photos = [] } } of old) {
      stores.events.delete(number);
      stores.sending.delete(id);
      for (const sha256 of photos) if (!kept.has(sha256)) stores.photos.delete(sha256);
    }
  });
}

// --- drafts: what is half entered survives too ---

export const keepDraft = (draft) =>
  change(["drafts"], ({ drafts }) => answer(drafts.put(draft)));

export const draft = (key) => look(["drafts"], ({ drafts }) => answer(drafts.get(key)));
