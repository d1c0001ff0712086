// The fields of an entry: big keys for a reading, and the photos of the entry being made.
import { bytes, element, number } from "./page.js";
import { keepPhoto, photo, PhotoProblem } from "./sending.js";

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

// --- photos: stored as soon as they are taken, shown, taken out again ---

export function startPhotos(form, { say, changed }) {
  const input = form.elements.photos;
  const list = element("ul", { class: "chosen", "aria-label": "Photos of this entry" });
  let chosen = [];
  input.after(list);

  async function show() {
    list.replaceChildren(...(await Promise.all(chosen.map(row))));
  }

  async function row(one, index) {
    const stored = await photo(one.sha256);
    const picture = element("img", { alt: `Photo ${index + 1}` });
    if (stored) picture.src = URL.createObjectURL(stored.blob);
    const out = element("button", { type: "button", class: "btn" }, `Take photo ${index + 1} out`);
    out.addEventListener("click", () => {
      chosen = chosen.filter((other) => other !== one);
      show();
      changed();
      input.focus();
    });
    return element("li", {}, picture, element("span", {}, `${bytes(one.size)}. Saved here`), out);
  }

  input.addEventListener("change", async () => {
    for (const file of input.files) {
      try {
        const kept = await keepPhoto(file, Number(form.dataset.mostPhoto));
        if (!chosen.some((one) => one.sha256 === kept.sha256)) chosen.push(kept);
      } catch (error) {
        say([error instanceof PhotoProblem ? error.message
          : `The photo is not saved: this tablet could not store it (${error.name}).`, "photos"]);
      }
    }
    input.value = "";
    await show();
    await changed();
  });

  return {
    names: () => chosen.map((one) => one.sha256).sort(),
    size: () => chosen.reduce((sum, one) => sum + one.size, 0),
    kept: () => chosen,
    clear() { chosen = []; show(); },
    async restore(kept) { chosen = kept || []; await show(); },
  };
}
