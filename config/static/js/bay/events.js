// Entries: each tap is written here, whole and for good, before anything is sent.
import { answer, change, look } from "./db.js";
import { changed, page } from "./page.js";

const KEEP_SENT_MS = 24 * 3600 * 1000;
export const OPEN = ["saved", "waiting", "refused"]; // not yet at its end

// What the server is told. Fields not given stay empty; nothing is ever changed afterwards.
function body(id, device, number, fields) {
  return { v: 1, id, device, number, person: page.person, at_device: Date.now(), ...fields };
}

// Store one entry. `words` is how people read it; `size` counts its photos too.
export async function record(fields, words, { size = 0, draft = null } = {}) {
  const id = crypto.randomUUID();
  const stores = ["events", "sending", "facts", "drafts"];
  const entry = await change(stores, async ({ events, sending, facts, drafts }) => {
    const last = await answer(facts.get("number"));
    const known = await answer(facts.get("device"));
    const device = known ? known.value : crypto.randomUUID();
    const number = (last ? last.value : 0) + 1;
    const made = {
      id, number, words, person: page.person, name: page.name, made: Date.now(),
      body: body(id, device, number, fields),
    };
    made.size = JSON.stringify(made.body).length + size;
    facts.put({ key: "number", value: number });
    facts.put({ key: "device", value: device });
    events.add(made);
    sending.add({ id, state: "saved", sentence: "", tries: 0, answered: 0 });
    if (draft) drafts.delete(draft);
    return made;
  });
  changed();
  return entry;
}

// Every entry on the device with what became of it, oldest first.
export async function all() {
  const [events, sending] = await look(["events", "sending"], (stores) =>
    Promise.all([answer(stores.events.getAll()), answer(stores.sending.getAll())]));
  const states = new Map(sending.map((one) => [one.id, one]));
  return events
    .map((event) => ({ ...event, sending: states.get(event.id) }))
    .filter((event) => event.sending)
    .sort((one, two) => one.number - two.number);
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
  await change(["sending"], async ({ sending }) => {
    for (const { id, state, sentence } of answers) {
      const known = await answer(sending.get(id));
      if (known) sending.put({ ...known, state, sentence: sentence || "", answered });
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
    for (const { id, body: { photos = [] } } of old) {
      stores.events.delete(id);
      stores.sending.delete(id);
      for (const sha256 of photos) if (!kept.has(sha256)) stores.photos.delete(sha256);
    }
  });
}

// --- drafts: what is half entered survives too ---

export const keepDraft = (draft) =>
  change(["drafts"], ({ drafts }) => answer(drafts.put(draft)));

export const draft = (key) => look(["drafts"], ({ drafts }) => answer(drafts.get(key)));
