// Big keys for a reading, and in words whether it is within the expected range.
import { number } from "./entry.js";
import { element } from "./page.js";

const KEYS = ["7", "8", "9", "4", "5", "6", "1", "2", "3", "0", ".", "±"];

function press(field, key) {
  const text = field.value;
  if (key === "Clear") field.value = "";
  else if (key === "±") field.value = text.startsWith("-") ? text.slice(1) : `-${text}`;
  else if (key !== "." || !/[.,]/.test(text)) field.value = text + key;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function judge(field, { low, high }, words) {
  const found = number(field.value);
  if (found === null) words.textContent = "";
  else if (Number.isNaN(found)) words.textContent = `${field.value} is not a number.`;
  else if ((low !== "" && found < Number(low)) || (high !== "" && found > Number(high))) {
    words.textContent = "Outside the expected range. Press Fail, or measure again.";
  } else words.textContent = low || high ? "In range." : "";
  words.dataset.found = words.textContent.startsWith("Outside") ? "outside" : "";
}

export function startKeypad(form) {
  const field = form.elements.value_typed;
  if (!field) return;
  const words = element("p", { role: "status", class: "range-words" });
  const pad = element("div", { class: "keypad", role: "group", "aria-label": "Keys for the reading" });
  for (const key of [...KEYS, "Clear"]) {
    const button = element("button", { type: "button", class: "btn" }, key);
    if (key === "±") button.setAttribute("aria-label", "Change the sign");
    if (key === ".") button.setAttribute("aria-label", "Point");
    button.addEventListener("click", () => press(field, key));
    pad.append(button);
  }
  field.after(words);
  words.after(pad);
  field.addEventListener("input", () => judge(field, form.dataset, words));
  field.addEventListener("focus", () => pad.scrollIntoView({ block: "nearest" }));
}
