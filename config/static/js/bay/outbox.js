// The outbox: every entry that is not at its end, whose it is, how large, and what stands in its way.
import { able, bytes, element, moment, onChange, page, status } from "./page.js";
import { again, OPEN, all, record } from "./store.js";
import { line, send, space, spaceWords } from "./sending.js";

const STATE = {
  saved: ["wait", "Saved here, not sent"], waiting: ["wait", "Waits for its photo"],
  refused: ["fail", "Not recorded"],
};

function asideForm(item) {
  const id = `why-${item.id}`;
  const input = element("input", { id, name: "reason", maxlength: 200, required: "" });
  const form = element("form", { class: "row" },
    element("div", { class: "field" }, element("label", { for: id }, "Reason to set it aside"), input),
    element("button", { class: "btn" }, "Set entry aside"));
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const { job, unit, check = "", stage = "" } = item.body;
    await record({ kind: "set_aside", job, unit, check, stage, of: item.id, reason: input.value },
      `${item.words} set aside`);
    await send({ now: true });
    await again(item.id); // the server now answers "set aside" for it
    await send({ now: true });
  });
  return form;
}

function row(item) {
  const { state, sentence } = item.sending;
  const [look, words] = STATE[state];
  const what = element("div", { class: "task" },
    element("p", {}, element("strong", {}, item.words)),
    element("p", { class: "hint" },
      `Unit ${item.body.unit} of ${item.body.job}, ${moment(item.made)}, ${bytes(item.size)}`));
  if (sentence) what.append(element("p", {}, sentence));
  const made = element("li", { "data-entry": item.id }, what, status(look, words));
  if (state === "refused" && item.person === page.person) {
    const retry = element("button", { type: "button", class: "btn" }, "Send it again");
    retry.addEventListener("click", async () => { await again(item.id); await send({ now: true }); });
    made.append(element("div", { class: "toolbar" }, retry), asideForm(item));
  }
  return made;
}

function group([name, items], own) {
  const size = items.reduce((sum, one) => sum + one.size, 0);
  const count = items.length === 1 ? "1 entry" : `${items.length} entries`;
  const section = element("section", { class: "panel" },
    element("h2", {}, `${count} of ${name}, ${bytes(size)}`));
  if (!own) {
    section.append(element("p", { class: "hint" },
      `${name} sends these by signing in on this tablet. Nobody else can send or remove them.`));
  }
  section.append(element("ul", { class: "tasks" }, ...items.map(row)));
  return section;
}

// Typing in a reason must not be torn away by a redraw.
const isTyping = (box) => box.contains(document.activeElement) &&
  document.activeElement.tagName === "INPUT";

async function show() {
  const items = (await all()).filter((one) => OPEN.includes(one.sending.state));
  const people = new Map();
  for (const item of items) people.set(item.person, [...(people.get(item.person) || []), item]);
  const box = document.getElementById("outbox");
  if (!isTyping(box)) {
    box.replaceChildren(...[...people].map(([person, found]) =>
      group([found[0].name, found], person === page.person)));
  }
  document.getElementById("outbox-summary").textContent = summary(items);
  document.getElementById("send-now").disabled =
    !items.some((one) => one.person === page.person && one.sending.state !== "refused");
  await showDevice();
}

function summary(items) {
  if (!items.length) return "Everything on this tablet is sent.";
  const count = items.length === 1 ? "1 entry is" : `${items.length} entries are`;
  const words = {
    silent: "There is no connection to the shop now; they are sent when there is one.",
    closed: "Sign in to send them.",
  };
  return `${count} saved here and not sent. ${words[line.state] || ""} Keep this page open until ` +
    "everything is sent; closing it loses nothing.";
}

async function showDevice() {
  const tell = (name, text) => { document.getElementById(`device-${name}`).textContent = text; };
  if (line.contact) tell("contact", moment(line.contact));
  const found = await space();
  const full = await spaceWords();
  if (found) tell("storage", `${bytes(found.usage)} of ${bytes(found.quota)} used. ${full}`);
  const kept = navigator.storage && navigator.storage.persisted && await navigator.storage.persisted();
  tell("kept", kept ? "Yes, the browser agreed not to clear it"
    : "Not promised by the browser. Install this page on the tablet, and send daily");
  const off = Math.round(Math.abs(line.clock) / 1000);
  if (line.contact) {
    tell("clock", off < 5 ? "Agrees with the shop's"
      : `${off} seconds ${line.clock > 0 ? "ahead of" : "behind"} the shop's; both times are recorded`);
  }
}

async function start() {
  document.getElementById("send-now").addEventListener("click", () => send({ now: true }));
  onChange(show);
  await show();
}

if (page && able) start();
