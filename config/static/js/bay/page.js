// What the page says about itself, and how every module of the bay shows an entry.
const meta = document.querySelector("meta[name=bay]");

export const page = meta && {
  person: Number(meta.content),
  name: meta.dataset.name,
  rendered: Number(meta.dataset.rendered) * 1000,
  sync: meta.dataset.sync,
  worker: meta.dataset.worker,
  outbox: meta.dataset.outbox,
};

// Browsers give the store's tools only to pages that came over HTTPS or from the same machine.
export const able = Boolean(window.isSecureContext && window.indexedDB && crypto.subtle);

export function element(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined) made.setAttribute(name, value);
  }
  made.append(...children);
  return made;
}

export const clock = (ms) =>
  new Date(ms).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });

export function moment(ms) {
  const day = new Date(ms).toLocaleDateString("en-GB", { day: "numeric", month: "short" });
  return `${day}, ${clock(ms)}`;
}

export function bytes(size) {
  if (size < 1000) return `${size} bytes`;
  if (size < 1e6) return `${Math.round(size / 1000)} kB`;
  return size < 1e9 ? `${(size / 1e6).toFixed(1)} MB` : `${(size / 1e9).toFixed(1)} GB`;
}

// "Saved here" is painted first, everything else comes after. A page in the background paints never.
export const painted = () => new Promise((go) => {
  requestAnimationFrame(() => setTimeout(go));
  setTimeout(go, 500);
});

// Other modules, and other tabs, hear when something in the store changed.
const channel = "BroadcastChannel" in window ? new BroadcastChannel("bay") : null;
const listeners = new Set();

export function onChange(listener) {
  listeners.add(listener);
}

function hear() {
  for (const listener of listeners) listener();
}

if (channel) channel.onmessage = hear;

export function changed() {
  hear();
  if (channel) channel.postMessage("changed");
}

// --- an entry: its word, its state ---

export const WORD = { pass: "Pass", fail: "Fail", na: "Does not apply" };
export const STATE = {
  ...WORD, open: "Not checked", decision: "Needs decision", again: "Check again",
};
export const SENT = { saved: "Saved here", waiting: "Saved here", sent: "Sent", refused: "Needs you" };

// The number in what was typed; comma or point. null for nothing, NaN for what is no number.
export function number(typed) {
  const text = typed.trim().replace(",", ".");
  if (!text) return null;
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(text) ? Number(text) : NaN;
}

// A reading out of its range fails, whatever is pressed; the server computes the same.
export function verdict({ kind, low, high }, pressed, typed) {
  if (pressed === "na" || kind !== "reading") return pressed;
  const value = number(typed);
  const outside = (low !== "" && value < Number(low)) || (high !== "" && value > Number(high));
  return outside ? "fail" : pressed;
}

export function status(state, word) {
  const icon = document.getElementById(`glyph-${state}`);
  const made = element("span", { class: `status status-${state}` });
  if (icon) made.append(icon.content.cloneNode(true));
  made.append(word);
  return made;
}

export function newest(entries, check) {
  return entries.filter((one) => one.body.kind === "result" && one.body.check === check).at(-1);
}
