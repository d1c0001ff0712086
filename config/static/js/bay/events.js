// Entries: each tap is written here, whole and for good, before anything is sent.
import { answer, change, fact, look, setFact } from "./db.js";
import { changed, page } from "./page.js";

const KEEP_SENT_MS = 24 * 3600 * 1000;
export const PAINT_MS = 50; // "saved here" is painted first, everything else comes after
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
  setTimeout(changed, PAINT_MS);
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

// Entries about one unit that the shown page cannot know yet; what was taken back is left out.
export async function newerThanPage(job, unit) {
  const here = (await all()).filter(
    ({ body: { job: j, unit: u }, person, sending }) =>
      j === job && u === unit && person === page.person && sending.state !== "aside" &&
      (sending.state !== "sent" || sending.answered > page.rendered));
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
