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
document.addEventListener("submit", (event) => {
  const form = event.target, button = event.submitter;
  if (form.method !== "post") return;
  if (held.has(form) || (button && button.getAttribute("aria-disabled") === "true")) {
    event.preventDefault();
    event.stopImmediatePropagation();
    return;
  }
  // After the browser and htmx have read the form: a button that is held must still be sent.
  setTimeout(() => hold(form, button));
}, true);
document.addEventListener("click", (event) => {
  const button = event.target.closest("button[aria-disabled=true]");
  if (button) event.preventDefault();
}, true);
document.addEventListener("htmx:afterRequest", (event) => release(event.detail.elt));
document.addEventListener("outbox:kept", (event) => release(event.target));
addEventListener("pageshow", () => [...held.keys()].forEach(release));
const tell = (words) => {
  const said = document.getElementById("said");
  if (said) said.textContent = words;
};
const lost = (words) => (event) => { if (!event.detail.elt.closest("[data-keep]")) tell(words); };
document.addEventListener("htmx:sendError", lost("No answer from the server. Nothing is stamped yet. Send it again."));
document.addEventListener("htmx:timeout", lost("The server took too long. Load the page to see what is stamped."));
document.addEventListener("htmx:responseError", (event) => {
  const number = event.detail.xhr.getResponseHeader("X-Request-Id") || "";
  tell("Something broke here. Load the page to see what is stamped, then repeat it. Request " + number + ".");
});
