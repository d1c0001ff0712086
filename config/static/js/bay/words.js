// The state of sending, always in the header, in one of five phrases; and that we are offline.
import { unsent } from "./events.js";
import { clock, element, onChange, page } from "./page.js";
import { spaceWords } from "./photos.js";
import { line } from "./sender.js";

const SPEAK_MS = 10000;
let spoken = 0;
let later = 0;

export function phrase(items) {
  const own = items.filter((one) => one.person === page.person);
  const refused = own.filter((one) => one.sending.state === "refused").length;
  if (refused) return `${refused} need you`;
  if (!own.length) return "All sent";
  if (line.state === "closed") return `Sign in to send ${own.length}`;
  if (line.sending) return `Sending ${own.length}`;
  return `${own.length} saved here`;
}

// Screen readers hear it at most once in ten seconds, and always the newest.
function speak(text) {
  const region = document.getElementById("bay-spoken");
  clearTimeout(later);
  const say = () => {
    if (region.textContent !== text) region.textContent = text;
    spoken = Date.now();
  };
  const wait = spoken + SPEAK_MS - Date.now();
  if (wait <= 0) say();
  else later = setTimeout(say, wait);
}

function showOffline() {
  const box = document.getElementById("bay-offline");
  if (!box) return;
  box.hidden = line.state !== "silent";
  if (!box.hidden && !box.dataset.said) {
    box.dataset.said = "1";
    box.replaceChildren(element("span", {}, element("strong", {}, "Offline, saved here."),
      ` This page is from ${clock(page.rendered)}.`));
  }
}

async function show() {
  const words = phrase(await unsent());
  const link = document.getElementById("bay-sync");
  link.hidden = false;
  if (link.textContent !== words) link.textContent = words;
  link.dataset.open = words === "All sent" ? "" : "1";
  speak(words);
  showOffline();
}

async function warnOfSpace() {
  const words = await spaceWords();
  const box = document.getElementById("bay-space");
  if (!box) return;
  box.textContent = words;
  box.hidden = !words;
}

export async function startWords() {
  if (!document.getElementById("bay-sync")) return;
  onChange(show);
  await show();
  await warnOfSpace();
}
