// No network: an act of a form marked data-keep stays on this tablet, in order, and is sent when the
// server answers again. The act's own key makes a second arrival do nothing. Photos are not kept.
const name = "quadwright-outbox", waits = [5, 10, 20, 40, 60];
let tries = 0, next = 0, last = "", busy = false;
const load = () => JSON.parse(localStorage.getItem(name) || "[]");
const store = (acts) => localStorage.setItem(name, JSON.stringify(acts));
const clock = () => new Date().toTimeString().slice(0, 8);
const tell = (words) => { document.getElementById("said").textContent = words; };
const panel = () => {
  let box = document.getElementById("outbox");
  if (!box) {
    box = document.createElement("div");
    box.id = "outbox";
    box.className = "kept";
    document.getElementById("said").after(box);
  }
  return box;
};
const refusedLine = (act) => {
  const line = document.createElement("p"), drop = document.createElement("button");
  line.textContent = act.label + " was refused: " + act.refused + " ";
  drop.type = "button";
  drop.className = "text-button";
  drop.textContent = "Take it off the list";
  drop.onclick = () => { store(load().filter((kept) => kept.body !== act.body)); draw(); };
  line.append(drop);
  return line;
};
const draw = () => {
  const acts = load();
  if (!acts.length) { document.getElementById("outbox")?.remove(); return; }
  const waiting = acts.filter((act) => !act.refused), box = panel(), words = document.createElement("p");
  const many = waiting.length === 1 ? "1 act is" : waiting.length + " acts are";
  const left = Math.max(0, Math.round((next - Date.now()) / 1000));
  words.textContent = waiting.length ? "No network. " + many + " kept on this tablet and will be sent in order. Last try " + last + ", next in " + left + " s." : "";
  const lines = acts.filter((act) => act.refused).map(refusedLine);
  if (!lines.length && box.firstChild && box.children.length === 1) box.firstChild.textContent = words.textContent;
  else if (!box.contains(document.activeElement)) box.replaceChildren(words, ...lines);
};
const why = async (answer) => {
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const said = page.querySelector(".error-summary li, main h1, h1");
  return said ? said.textContent.trim() : "the server said " + answer.status;
};
const later = () => { next = Date.now() + waits[Math.min(tries++, waits.length - 1)] * 1000; };
const send = async () => {
  if (busy) return;
  busy = true;
  let sent = 0;
  try {
    for (const act of load().filter((kept) => !kept.refused)) {
      last = clock();
      const headers = { "Content-Type": "application/x-www-form-urlencoded", "HX-Request": "true" };
      const answer = await fetch(act.action, { method: "POST", headers, body: act.body });
      if (answer.status >= 500) throw new Error("not now");
      const acts = load(), here = acts.find((kept) => kept.body === act.body);
      if (answer.ok) { acts.splice(acts.indexOf(here), 1); sent += 1; }
      else here.refused = await why(answer);
      store(acts);
    }
    tries = 0;
    next = Infinity;
  } catch {
    later();
  }
  busy = false;
  if (sent) tell((sent === 1 ? "1 act kept on this tablet is" : sent + " acts kept on this tablet are") + " sent. Load the page to see the stamps.");
  draw();
};
const keep = (form, button) => {
  const body = new URLSearchParams(new FormData(form, button && button.name ? button : undefined)).toString();
  const acts = load();
  if (!acts.some((act) => act.body === body)) acts.push({ action: form.action, body, label: (button || form).textContent.trim().slice(0, 40), at: clock() });
  store(acts);
  last = clock();
  later();
  draw();
  tell("On this tablet, not sent yet.");
  setTimeout(() => form.dispatchEvent(new Event("outbox:kept", { bubbles: true })), 20);
};
const kept = (event) => {
  const form = event.detail.elt.closest && event.detail.elt.closest("form[data-keep]");
  return form && form.enctype !== "multipart/form-data" ? form : null;
};
let pressed = null;
document.addEventListener("submit", (event) => { pressed = event.submitter; }, true);
document.addEventListener("htmx:beforeRequest", (event) => {
  const form = kept(event);
  if (!form || !load().some((act) => !act.refused)) return;
  event.preventDefault();
  keep(form, pressed);
});
for (const lost of ["htmx:sendError", "htmx:timeout"]) {
  document.addEventListener(lost, (event) => { const form = kept(event); if (form) keep(form, pressed); });
}
addEventListener("online", send);
document.addEventListener("visibilitychange", () => { if (!document.hidden && load().length) send(); });
setInterval(() => { const waiting = load().some((act) => !act.refused); if (waiting && Date.now() >= next) send(); else if (waiting) draw(); }, 1000);
document.addEventListener("DOMContentLoaded", () => { if (load().length) { draw(); send(); } });
