// Starts what the page needs. Without a safe connection or a store the forms go straight to the shop.
import { startCheck } from "./check.js";
import { ready, unsent } from "./events.js";
import { keepPages, startLists } from "./lists.js";
import { startOutbox } from "./outbox.js";
import { able, element, page } from "./page.js";
import { startSending } from "./sender.js";
import { startStage } from "./stage.js";
import { startWords } from "./words.js";

async function startWorker() {
  if (!navigator.serviceWorker) return;
  const registration = await navigator.serviceWorker.register(page.worker);
  // A new version waits while anything is unsent.
  if (registration.waiting && !(await unsent()).length) registration.waiting.postMessage("take over");
}

// Leaving with unsent entries is said once; they stay under the person's name.
function guardSignOut() {
  for (const form of document.querySelectorAll("form[action$='/out/']")) {
    form.addEventListener("submit", async (event) => {
      if (form.dataset.warned) return;
      event.preventDefault();
      const own = (await unsent()).filter((one) => one.person === page.person);
      form.dataset.warned = "1";
      if (!own.length) return form.requestSubmit();
      const words = own.length === 1 ? "1 entry is not sent." : `${own.length} entries are not sent.`;
      const told = element("p", { class: "notice notice-wait", role: "alert" },
        `${words} They stay on this tablet under your name. Sign out again to leave.`);
      return document.getElementById("main").prepend(told);
    });
  }
}

async function start() {
  guardSignOut();
  ready();
  await Promise.all([startCheck(), startStage(), startLists(), startOutbox(), startWords()]);
  startWorker().then(keepPages).catch(() => {}); // without it the pages only need a connection
  if (navigator.storage && navigator.storage.persist) navigator.storage.persist();
  await startSending();
}

if (page && able) start();
