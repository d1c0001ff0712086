// What every page shares: CSRF for htmx, a visible answer when the server gives none, the display switch.
"use strict";

// --- htmx: prove that the request comes from this page ---
document.addEventListener("htmx:configRequest", (event) => {
  const token = document.querySelector("[name=csrfmiddlewaretoken]");
  if (token) event.detail.headers["X-CSRFToken"] = token.value;
});

// --- htmx: say what went wrong, keep what was typed, offer to try again ---
const SENTENCES = {
  403: "Your account may not do this. Nothing was changed.",
  404: "This is no longer here. Load the page again.",
  409: "Somebody else changed this meanwhile. Load the page again.",
  429: "Too many tries. Wait a little, then try again.",
};

function showTrouble(detail) {
  const box = document.getElementById("trouble");
  const status = detail.xhr ? detail.xhr.status : 0;
  const silent = "The server did not answer. What you typed is still on this page, not saved.";
  const broken = "The server could not do this. What you typed is still on this page.";
  const text = document.createElement("p");
  text.textContent = SENTENCES[status] || (status ? broken : silent);
  const again = document.createElement("button");
  again.type = "button";
  again.className = "btn";
  again.textContent = "Try again";
  again.addEventListener("click", () => {
    box.hidden = true;
    const config = detail.requestConfig;
    htmx.ajax(config.verb, config.path, { source: config.elt, values: config.parameters });
  });
  box.replaceChildren(text, again);
  box.hidden = false;
}

for (const name of ["htmx:responseError", "htmx:sendError", "htmx:timeout"]) {
  document.addEventListener(name, (event) => showTrouble(event.detail));
}
document.addEventListener("htmx:afterRequest", (event) => {
  if (event.detail.successful) document.getElementById("trouble").hidden = true;
});

// --- Display: switch at once and without the server, so that it also works offline ---
const MEDIA = { night: "screen and (prefers-color-scheme: dark)", glare: "screen and (prefers-contrast: more)" };

function setMode(mode) {
  for (const [name, automatic] of Object.entries(MEDIA)) {
    const link = document.querySelector(`link[data-mode=${name}]`);
    if (link) link.media = mode === "auto" ? automatic : mode === name ? "screen" : "not all";
  }
  for (const button of document.querySelectorAll(".modes [name=mode]")) {
    if (button.dataset.off) { // a switch: pressing again leads back
      const on = mode === button.dataset.on;
      button.value = on ? button.dataset.off : button.dataset.on;
      button.setAttribute("aria-pressed", on);
    } else {
      button.setAttribute("aria-pressed", button.value === mode);
    }
  }
}

document.addEventListener("submit", (event) => {
  const form = event.target.closest("form.modes");
  if (!form || !event.submitter) return;
  event.preventDefault();
  const mode = event.submitter.value;
  const secure = location.protocol === "https:" ? "; Secure" : "";
  document.cookie = `mode=${mode}; Max-Age=31536000; Path=/; SameSite=Lax${secure}`;
  setMode(mode);
});
