// What both the check screen and the lists need to show an entry: its word, its state, its place.
import { element } from "./page.js";

export const WORD = { pass: "Pass", fail: "Fail", na: "Does not apply" };
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
