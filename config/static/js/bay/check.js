// The check screen: the form's answer becomes an entry in the store, then the next check opens.
import {
  able, element, newest, number, onChange, page, painted, SENT, status, STATE, verdict, WORD,
} from "./page.js";
import { draft, fact, keepDraft, newerThanPage, record, setFact, sincePage } from "./store.js";
import { startKeypad, startPhotos } from "./fields.js";
import { send } from "./sending.js";
import { stateHere } from "./states.js";

const NEXT_MS = 400;
const BOUNCE_MS = 600;
const form = document.getElementById("result");
const facts = form ? form.dataset : {};
const setupKey = () => `setup/${page.person}/${facts.job}/${facts.unit}/${facts.stage}`;
const draftKey = () => `${page.person}/${facts.job}/${facts.unit}/${facts.check}`;
const value = (name) => (form.elements[name] ? form.elements[name].value : "");
const row = { entry: null, told: false };
let photos;
let busyUntil = 0;
let fromPage = null; // what the server showed as the state

const json = (id) => JSON.parse(document.getElementById(id).textContent);

// The same rules as the server's, so that nothing is stored which it must refuse.
function problem(pressed) {
  if (facts.refused) return [facts.refused];
  if (pressed === "na" && !value("reason").trim()) return ["Does not apply needs a reason.", "reason"];
  if (pressed === "note") {
    return value("reason").trim() || photos.names().length ? null
      : ["A note needs words or a photo.", "reason"];
  }
  if (pressed === "pass" && facts.photo && !photos.names().length) {
    return [`${facts.title} needs a photo before it can pass.`, "photos"];
  }
  return facts.kind === "reading" && pressed !== "na" ? badReading() : null;
}

function badReading() {
  const typed = value("value_typed");
  const found = number(typed);
  if (found === null) return [`${facts.title} needs a reading in ${facts.uom}.`, "value_typed"];
  if (Number.isNaN(found)) return [`${typed} is not a number.`, "value_typed"];
  const chosen = value("instrument");
  if (!chosen && !facts.instrument) return null;
  if (!chosen) return ["Choose the instrument that gave the reading.", "instrument"];
  const due = json("instruments-due")[chosen];
  const now = new Date();
  const today = new Date(now - now.getTimezoneOffset() * 60000).toISOString().slice(0, 10);
  if (due && due < today) {
    return ["This instrument is past its calibration date; its reading is not valid. " +
      "Choose another instrument.", "instrument"];
  }
  return null;
}

function say([sentence, name]) {
  const box = document.getElementById("entry-problem");
  const field = name && form.elements[name];
  box.textContent = sentence;
  box.hidden = false;
  if (field) {
    field.setAttribute("aria-invalid", "true");
    field.focus();
  } else box.focus();
}

function quiet() {
  document.getElementById("entry-problem").hidden = true;
  for (const field of form.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
}

function fields(pressed) {
  const note = pressed === "note";
  return {
    kind: note ? "note" : "result", job: facts.job, unit: facts.unit, check: facts.check,
    check_version: Number(facts.version), base_sequence: Number(value("base_sequence")),
    pressed: note ? "" : pressed, value_typed: note ? "" : value("value_typed"),
    instrument: note ? null : Number(value("instrument")) || null,
    conditions: note ? "" : value("conditions"), reason: value("reason"), photos: photos.names(),
  };
}

function words(pressed) {
  if (pressed === "note") return `${facts.check} Note`;
  const typed = facts.kind === "reading" && value("value_typed").trim();
  const found = WORD[verdict(facts, pressed, value("value_typed"))];
  return `${facts.check} ${typed ? `${typed} ${facts.uom}, ` : ""}${found}`;
}

async function press(pressed) {
  quiet();
  const wrong = problem(pressed);
  if (wrong) return say(wrong);
  const entered = fields(pressed);
  const found = pressed === "note" ? "note" : verdict(facts, pressed, value("value_typed"));
  let entry;
  try {
    entry = await record(entered, words(pressed), { size: photos.size(), draft: draftKey() });
  } catch (error) {
    return say([`Not saved: this tablet could not store the entry (${error.name}). It is still on ` +
      "this page. Make room on the tablet, then press again."]);
  }
  tellSaved(entry);
  busyUntil = Date.now() + BOUNCE_MS;
  painted().then(() => after(found));
  return undefined;
}

// On to the next open check, unless something failed: then the next step is the person's choice.
async function after(found) {
  await setFact(setupKey(), { instrument: value("instrument"), conditions: value("conditions") });
  send({ now: true });
  photos.clear();
  for (const name of ["reason", "value_typed"]) if (form.elements[name]) form.elements[name].value = "";
  await showHere();
  if (found !== "pass" && found !== "na") return;
  const next = await nextOpen();
  if (next) setTimeout(() => location.assign(next), NEXT_MS);
}

async function nextOpen() {
  const local = await newerThanPage(facts.job, facts.unit);
  const siblings = json("siblings");
  const here = siblings.findIndex((one) => one.ref === facts.check);
  const waits = (one) => ["open", "again"].includes(one.state) && !newest(local, one.ref);
  const found = siblings.slice(here + 1).find(waits) || siblings.slice(0, here).find(waits);
  return found ? found.url : "";
}

// The row of the last entry stands ready before the tap: acknowledging changes words, not the layout.
function prepareUndo() {
  row.state = element("strong");
  row.line = element("p", { role: "status" }, document.createTextNode(""), row.state);
  row.button = element("button", { type: "button", class: "btn unseen" }, `Take ${facts.check} back`);
  row.button.addEventListener("click", () => takeBack(row.entry));
  const place = document.getElementById("undo");
  if (!place.children.length) tell("Nothing is entered here yet.", "", null);
  row.told = false;
}

function tell(words, state, entry) {
  row.entry = entry;
  row.told = true;
  if (!row.line.isConnected) document.getElementById("undo").replaceChildren(row.line, row.button);
  row.line.firstChild.data = words;
  row.state.textContent = state;
  if (entry) row.state.dataset.saved = entry.id;
  else delete row.state.dataset.saved;
  row.button.classList.toggle("unseen", !entry || entry.body.kind !== "result");
}

function tellSaved(entry) {
  tell(`Recorded: ${entry.words}. `, SENT[entry.sending?.state || "saved"], entry);
  if (entry.body.check !== facts.check) row.button.textContent = `Take ${entry.body.check} back`;
}

async function takeBack(entry) {
  if (!entry) return;
  const { job, unit, check } = entry.body;
  row.entry = null; // a second tap is the same tap
  await record({ kind: "void", job, unit, check, of: entry.id }, `${check} taken back`);
  tell(`${check}: your entry is taken back. `, SENT.saved, null);
  await painted();
  await showHere();
  send({ now: true });
}

// What this tablet knows about the check beyond the page: its state, and the newest entry.
async function showHere() {
  const local = await newerThanPage(facts.job, facts.unit);
  const mine = newest(local, facts.check);
  const about = (await sincePage(facts.job, facts.unit)).filter(
    (one) => one.body.check === facts.check);
  const found = stateHere({ ...facts, ...json("events")[facts.check] }, about);
  const place = document.getElementById("check-state");
  fromPage ??= [...place.childNodes];
  if (!mine && found === facts.state) return place.replaceChildren(...fromPage);
  return place.replaceChildren(status(found, STATE[found]), " ",
    element("span", { class: "hint" }, mine ? SENT[mine.sending.state] : ""));
}

async function showLast() {
  const local = await newerThanPage(facts.job, facts.unit);
  if (row.entry) {
    const known = local.find((one) => one.id === row.entry.id);
    if (known) row.state.textContent = SENT[known.sending.state];
  } else if (!row.told && local.length && local.at(-1).body.check) tellSaved(local.at(-1));
}

async function restore() {
  const setup = await fact(setupKey());
  const kept = await draft(draftKey());
  const found = { ...(setup || {}), ...(kept ? kept.values : {}) };
  for (const [name, text] of Object.entries(found)) {
    const field = form.elements[name];
    if (field && text && !document.querySelector(".error-summary")) field.value = text;
  }
  if (kept) await photos.restore(kept.photos);
}

function saveDraft() {
  const names = ["value_typed", "instrument", "conditions", "reason"];
  const values = Object.fromEntries(names.map((name) => [name, value(name)]));
  return keepDraft({ key: draftKey(), values, photos: photos.kept() });
}

// The tap itself, not the form's submission: a browser lays the whole page out before it submits.
function tap(event) {
  event.preventDefault();
  if (Date.now() < busyUntil) return;
  busyUntil = Infinity; // a second tap while the first is being written is the same tap
  press(event.currentTarget.value).finally(() => {
    if (busyUntil === Infinity) busyUntil = 0;
  });
}

async function start() {
  photos = startPhotos(form, { say, changed: saveDraft });
  prepareUndo();
  for (const button of form.elements) {
    if (button.name === "pressed") button.addEventListener("click", tap);
  }
  form.addEventListener("input", saveDraft);
  startKeypad(form);
  [fields, words].map((made) => made("fail")); // a browser compiles what it runs for the first time
  onChange(() => { showHere(); showLast(); });
  await restore();
  await showHere();
  await showLast();
  form.dataset.ready = "1"; // what the tablet knows of this check is on the screen
}

if (page && able && form) start();
