// The photos of the entry being made: stored as soon as they are taken, shown, taken out again.
import { bytes, element } from "./page.js";
import { keepPhoto, photo, PhotoProblem } from "./photos.js";

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
