// An answer of the bench that gets no answer itself is kept: see outbox.js. Photos and files are not.
let pressed = null, tapped = 0;
const { add, send, waiting } = window.outbox;
const text = (from, selector) => from.querySelector(selector)?.textContent.trim() || "";
const label = (form, button) => {
  const typed = [...form.elements].filter((field) => field.type === "text").map((field) => field.value);
  const step = text(form.closest(".do-now"), ".no") + " " + text(document, "#do-now-title").split(".")[0];
  return "Ticket " + /\d+/.exec(form.getAttribute("action"))[0].padStart(4, "0") + ", " + step + ": " + [button.ariaLabel || button.dataset.plain || button.textContent.trim(), ...typed].join(" ");
};
const keep = (form) => {
  const given = new FormData(form, pressed.name ? pressed : undefined), key = form.elements.act_key, action = form.getAttribute("action");
  ["csrf", "act_key", "made_at"].forEach((name) => given.delete(name));
  const what = action + new URLSearchParams(given), before = waiting().at(-1);
  // The same tap twice in a row is one act: somebody was not sure that it was kept.
  const twice = before?.what === what;
  given.set("act_key", key.value);
  given.set("made_at", Math.round(tapped));
  try {
    if (!twice) add({ id: key.value, action, what, body: String(new URLSearchParams(given)), says: label(form, pressed), made: tapped });
  } catch {
    return tell("This tablet cannot keep it, and the server does not answer. Nothing is recorded.");
  }
  key.value = key.value.split(".")[0] + "." + Date.now();
  tell("On this tablet, not sent yet.");
  const detail = twice ? null : pressed;
  setTimeout(() => form.dispatchEvent(new CustomEvent("outbox:kept", { bubbles: true, detail })), 20);
};
const form = (event) => event.detail.elt.closest("form[data-keep]");
const instead = (event) => { event.preventDefault(); keep(form(event)); send(); };
on("submit", (event) => {
  pressed = event.submitter;
  tapped = Date.now() + (+document.body.dataset.offset || 0);
}, true);
on("htmx:beforeRequest", (event) => {
  if (form(event) && (waiting().length || !navigator.onLine || document.querySelector("#strip[data-lost]"))) instead(event);
});
for (const lost of ["htmx:sendError", "htmx:timeout"]) {
  on(lost, (event) => { if (form(event)) keep(form(event)); });
}
on("htmx:beforeOnLoad", (event) => {
  const { xhr } = event.detail, to = xhr.getResponseHeader("HX-Redirect") || "";
  if (!form(event)) return;
  // Signed out, or somebody else signed in: the act waits for who made it.
  if (to.startsWith("/sign-in")) keep(form(event));
  else if (xhr.status === 403 || xhr.status > 501 || !xhr.getResponseHeader("X-Request-Id")) instead(event);
});
