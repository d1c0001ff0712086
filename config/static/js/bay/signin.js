// Before signing in: whose entries wait on this tablet.
import { unsent } from "./store.js";
import { able } from "./page.js";

async function show() {
  const counts = new Map();
  for (const { name } of await unsent()) counts.set(name, (counts.get(name) || 0) + 1);
  if (!counts.size) return;
  const words = [...counts].map(([name, count]) => `${count} of ${name}`).join(", ");
  const box = document.getElementById("unsent-here");
  box.textContent = `Not sent yet on this tablet: ${words}. Sign in to send your own.`;
  box.hidden = false;
}

if (able) show();
