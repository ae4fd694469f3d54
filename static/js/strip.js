// The power strip's heartbeat: two people see the same state within 2 s. Without an answer for 10 s
// the strip says since when, and what is powered is not offered.
const every = 1500, lostAfter = 10000;
let heard = Date.now(), lost = false;
const clock = (at) => new Date(at).toTimeString().slice(0, 8);
const offer = (offered) => {
  for (const part of document.querySelectorAll("[data-powered]")) part.inert = !offered;
};
const notice = () => {
  const late = Date.now() - heard > lostAfter;
  if (late) offer(false);
  if (late === lost) return;
  lost = late;
  const words = document.getElementById("strip-lost");
  if (words) words.textContent = late ? "Not in touch since " + clock(heard) : "";
  if (!late) offer(true);
};
const show = (strip, html) => {
  const fresh = new DOMParser().parseFromString(html, "text/html").getElementById("strip");
  if (!fresh) return;
  const moved = strip.dataset.state !== fresh.dataset.state;
  strip.dataset.state = fresh.dataset.state;
  strip.dataset.mark = fresh.dataset.mark;
  const says = fresh.querySelector("#strip-says");
  strip.querySelector("#strip-says").replaceChildren(...says.childNodes);
  const said = document.getElementById("said");
  if (moved && said) said.textContent = "Power is now: " + strip.querySelector(".strip-state b").textContent + ".";
};
const beat = async () => {
  const strip = document.getElementById("strip");
  if (!strip || !strip.dataset.strip || document.hidden) return;
  const address = strip.dataset.strip + "?seen=" + encodeURIComponent(strip.dataset.mark);
  try {
    const answer = await fetch(address, { headers: { "HX-Request": "true" }, signal: AbortSignal.timeout(5000) });
    if (answer.ok) heard = Date.now();
    if (answer.status === 200) show(strip, await answer.text());
  } catch {
    // No answer: `notice` says so when it has lasted.
  }
};
if (document.getElementById("strip")) {
  const loop = async () => { await beat(); notice(); setTimeout(loop, every); };
  setInterval(notice, 1000);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) beat().then(notice); });
  setTimeout(loop, every);
}
