// What the page says about itself, and small helpers every module of the bay uses.
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
