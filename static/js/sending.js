// A button says 'Sending' while its act is on the way, its size unchanged; a second tap does nothing.
const held = new Map();
const hold = (form, button) => {
  if (!button || held.has(form)) return;
  held.set(form, [button, button.innerHTML]);
  const size = button.getBoundingClientRect();
  button.style.width = size.width + "px";
  button.style.height = size.height + "px";
  button.dataset.sending = "";
  button.setAttribute("aria-disabled", "true");
  if (button.matches(".button")) button.textContent = "Sending";
};
const release = (form) => {
  if (!held.has(form)) return;
  const [button, words] = held.get(form);
  held.delete(form);
  button.innerHTML = words;
  button.style.width = button.style.height = "";
  delete button.dataset.sending;
  button.removeAttribute("aria-disabled");
};
on("submit", (event) => {
  const form = event.target, button = event.submitter;
  if (form.method !== "post") return;
  if (held.has(form) || (button && button.getAttribute("aria-disabled") === "true")) {
    event.preventDefault();
    event.stopImmediatePropagation();
    return;
  }
  // After the browser and htmx have read the form: a button that is held must still be sent.
  setTimeout(() => { if (form.matches("[hx-post]") || !event.defaultPrevented) hold(form, button); });
}, true);
on("click", (event) => {
  const button = event.target.closest("button[aria-disabled=true]");
  if (button) event.preventDefault();
}, true);
on("htmx:afterRequest", (event) => release(event.detail.elt));
on("outbox:kept", (event) => release(event.target));
addEventListener("pageshow", () => [...held.keys()].forEach(release));
const lost = (words) => (event) => { if (!event.detail.elt.closest("[data-keep]")) tell(words); };
on("htmx:sendError", lost("No answer from the server. Nothing is stamped yet. Send it again."));
on("htmx:timeout", lost("The server took too long. Load the page to see what is stamped."));
on("htmx:responseError", (event) => {
  const number = event.detail.xhr.getResponseHeader("X-Request-Id") || "";
  tell("Something broke here. Load the page, look, then repeat it. Request " + number + ".");
});
