// The strip's heartbeat: two people see the same state within 2 s. A state that is not known any more
// is never shown as if it were: without an answer the strip says since when, and nothing is offered
// that would change it.
const every = 1500, lostAfter = 6000, data = document.body.dataset;
let heard = Date.now(), misses = 0;
const strip = () => byId("strip");
const lost = () => strip()?.hasAttribute("data-lost");
const lose = () => {
  const box = strip(), [bars, { children: [name, connected] }, props] = byId("strip-says").children;
  const since = "since " + new Date(heard + (+data.offset || 0)).toTimeString().slice(0, 8);
  props.textContent = "The server does not answer. It was " + name.textContent + " then. Look at the craft before you touch it.";
  box.dataset.lost = box.dataset.state;
  box.dataset.state = "unknown";
  bars.outerHTML = "<b>?</b>";
  name.textContent = "Not known";
  connected.textContent = since;
  tell("The power state is not known " + since + ".");
};
const show = (html) => {
  const box = strip(), fresh = new DOMParser().parseFromString(html, "text/html").getElementById("strip");
  const moved = (box.dataset.lost || box.dataset.state) !== fresh.dataset.state;
  if (lost()) tell("The server answers again.");
  delete box.dataset.lost;
  Object.assign(box.dataset, fresh.dataset);
  box.firstElementChild.replaceWith(fresh.firstElementChild);
  for (const field of document.getElementsByName("under")) field.value = box.dataset.under;
  if (moved) tell("Power is now: " + box.querySelector(".strip-state b").textContent + ".");
};
// What is recorded may be kept for later, while the look at the propellers lasts; no power is changed.
const notice = () => {
  if (!strip()) return;
  // The server's clock is at least where the strip left it: what is made now is later than all it shows.
  data.offset = Math.max(+data.offset || -Infinity, strip().dataset.clock - Date.now());
  if (!lost() && (misses > 1 || Date.now() - heard > lostAfter)) lose();
  const over = Date.now() + (+data.offset || 0) > +strip().dataset.until;
  for (const form of document.querySelectorAll("[data-powered]")) form.inert = lost() && (over || !form.matches("[data-keep]"));
};
const beat = async () => {
  const box = strip(), from = Date.now();
  if (document.hidden || !box) return;
  try {
    const seen = lost() ? "" : box.dataset.mark;
    const answer = await fetch(box.dataset.strip + "?seen=" + seen, { headers: { "HX-Request": "true" }, cache: "no-store", signal: AbortSignal.timeout(4000) });
    // Only the strip itself has a clock: not the way to the sign-in page, nor a hotspot's own page.
    const at = +answer.headers.get("X-Clock"), html = await answer.text();
    if (!answer.ok || !at) throw at;
    heard = Date.now();
    misses = 0;
    data.offset = at - (from + heard) / 2;
    if (html) show(html);
  } catch {
    misses += 1;
  }
};
const again = () => beat().then(notice);
if (strip()?.dataset.strip) {
  notice();
  const loop = async () => { await again(); setTimeout(loop, every); };
  setInterval(notice, 1000);
  setTimeout(loop, every);
  addEventListener("offline", () => { misses = 2; notice(); });
  addEventListener("online", again);
  on("visibilitychange", () => { notice(); again(); });
  on("htmx:afterSettle", notice);
  on("submit", (event) => {
    const form = event.target;
    if (!lost() || form.method !== "post" || form.matches("[hx-post], [data-look]")) return;
    event.preventDefault();
    tell("The server does not answer, so this cannot be done now. Nothing is recorded.");
  }, true);
}
