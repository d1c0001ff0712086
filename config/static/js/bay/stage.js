// Timers of a stage: started and stopped here first, booked when they are sent.
import { able, clock, element, onChange, page, SENT } from "./page.js";
import { newerThanPage, record } from "./store.js";
import { send } from "./sending.js";

const OTHER = { work_start: "work_stop", work_stop: "work_start" };
const BUTTON = { work_start: "Start timer", work_stop: "Stop timer" };
const DONE = { work_start: "Timer started", work_stop: "Timer stopped" };

let pressed = false;

async function show(form) {
  const { job, unit, stage } = form.dataset;
  const last = (await newerThanPage(job, unit))
    .filter((one) => one.body.kind in OTHER && one.body.stage === stage).at(-1);
  if (!last) return;
  // The shop has it: show the stage with what is to do next.
  if (pressed && last.sending.state === "sent") {
    location.reload();
    return;
  }
  form.dataset.event = OTHER[last.body.kind];
  form.querySelector("button").textContent = BUTTON[form.dataset.event];
  document.getElementById("undo").replaceChildren(element("p", { role: "status" },
    `${DONE[last.body.kind]} at ${clock(last.made)}. `,
    element("strong", { "data-saved": last.id }, SENT[last.sending.state])));
}

async function start(form) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const button = form.querySelector("button");
    if (button.disabled) return;
    button.disabled = true;
    const { event: kind, job, unit, stage } = form.dataset;
    try {
      await record({ kind, job, unit, stage }, `${stage} ${DONE[kind]}`);
      pressed = true;
      await show(form);
      send({ now: true });
    } catch (error) {
      document.getElementById("undo").replaceChildren(
        `Not saved: this tablet could not store it (${error.name}).`);
    }
    setTimeout(() => { button.disabled = false; }, 600);
  });
  onChange(() => show(form));
  await show(form);
}

const form = document.querySelector("form[data-event]");
if (page && able && form) start(form);
