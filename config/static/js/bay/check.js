// The check screen: the form's answer becomes an entry in the store, then the next check opens.
import { draft, keepDraft, newerThanPage, PAINT_MS, record } from "./events.js";
import { number, verdict, newest, status, SENT, WORD } from "./entry.js";
import { fact, setFact } from "./db.js";
import { element, onChange, page } from "./page.js";
import { startKeypad } from "./keypad.js";
import { startPhotos } from "./chosen.js";
import { send } from "./sender.js";

const NEXT_MS = 400;
const BOUNCE_MS = 600;
const form = document.getElementById("result");
const facts = form ? form.dataset : {};
const setupKey = () => `setup/${page.person}/${facts.job}/${facts.unit}/${facts.stage}`;
const draftKey = () => `${page.person}/${facts.job}/${facts.unit}/${facts.check}`;
const value = (name) => (form.elements[name] ? form.elements[name].value : "");
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
  setTimeout(() => after(found), PAINT_MS);
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

function tellSaved(entry) {
  const undo = element("button", { type: "button", class: "btn" }, `Take ${entry.body.check} back`);
  undo.addEventListener("click", () => takeBack(entry, undo));
  const state = element("strong", { "data-saved": entry.id }, SENT[entry.sending?.state || "saved"]);
  const line = element("p", { role: "status" }, `Recorded: ${entry.words}. `, state);
  document.getElementById("undo").replaceChildren(line, entry.body.kind === "result" ? undo : "");
}

async function takeBack(entry, button) {
  button.disabled = true;
  const { job, unit, check } = entry.body;
  await record({ kind: "void", job, unit, check, of: entry.id }, `${check} taken back`);
  const words = `${check}: your entry is taken back. `;
  const state = element("strong", {}, "Saved here");
  document.getElementById("undo").replaceChildren(element("p", { role: "status" }, words, state));
  await showHere();
  send({ now: true });
}

// What this tablet knows about the check beyond the page: its state, and the newest entry.
async function showHere() {
  const local = await newerThanPage(facts.job, facts.unit);
  const mine = newest(local, facts.check);
  const place = document.getElementById("check-state");
  fromPage ??= [...place.childNodes];
  if (!mine) return place.replaceChildren(...fromPage);
  const found = verdict(facts, mine.body.pressed, mine.body.value_typed || "");
  return place.replaceChildren(status(found, WORD[found]), " ",
    element("span", { class: "hint" }, SENT[mine.sending.state]));
}

async function showLast() {
  const saved = document.querySelector("[data-saved]");
  const local = await newerThanPage(facts.job, facts.unit);
  if (saved) {
    const known = local.find((one) => one.id === saved.dataset.saved);
    if (known) saved.textContent = SENT[known.sending.state];
  } else if (local.length && local.at(-1).body.check) tellSaved(local.at(-1));
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

export async function startCheck() {
  if (!form) return;
  photos = startPhotos(form, { say, changed: saveDraft });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (Date.now() < busyUntil) return;
    busyUntil = Infinity; // a second tap while the first is being written is the same tap
    press(event.submitter ? event.submitter.value : "").finally(() => {
      if (busyUntil === Infinity) busyUntil = 0;
    });
  });
  form.addEventListener("input", saveDraft);
  startKeypad(form);
  form.dataset.ready = "1";
  onChange(() => { showHere(); showLast(); });
  await restore();
  await showHere();
  await showLast();
}
