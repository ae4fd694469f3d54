// Acts that the server did not answer stay on this tablet, each in an entry of its own, and go out in
// order when it answers again, to the person who made them. Nothing else is ever kept here.
const prefix = "quadwright-act ", waits = [5, 10, 20, 40, 60], data = document.body.dataset;
const me = data.staff;
let tries = 0, next = 0, busy = false, typed = false, signed = me;
const all = () => Object.keys(localStorage).filter((key) => key.startsWith(prefix)).sort()
  .map((key) => ({ ...JSON.parse(localStorage[key]), key }));
const waiting = (by) => all().filter((act) => act.by === by && !act.refused);
const store = ({ key, ...act }) => localStorage.setItem(key, JSON.stringify(act));
const many = (count) => (count === 1 ? "1 act" : count + " acts");
const line = (act) => act.says + ", " + new Date(act.made).toTimeString().slice(0, 8);
const refused = () => all().find((act) => act.by === signed && act.refused);
const draw = () => {
  const [says, no, read] = byId("outbox").children;
  const acts = all(), mine = waiting(signed).length, other = acts.find((act) => act.by !== signed), out = refused();
  const left = Math.round((next - Date.now()) / 1000), again = left > 0 && left < 99 ? " Next try in " + left + " s." : "";
  const of = other ? " Acts of " + other.name + " wait here: sign in as " + other.name + " to send them." : "";
  says.parentNode.hidden = !acts.length;
  says.textContent = (mine ? many(mine) + " not yet sent." + again : "") + of;
  const words = out ? "Not taken: " + line(out) + ". " + out.refused : "";
  if (no.textContent !== words) no.textContent = words;
  read.hidden = !out;
};
const later = () => { next = Date.now() + waits[Math.min(tries++, 4)] * 1000; };
// An answer that is not ours, as of a proxy or a hotspot's own page, is no JSON and throws.
const ask = async (address, given) => {
  const answer = await fetch(address, { cache: "no-store", signal: AbortSignal.timeout(15000), ...given });
  return [answer.status, await answer.json()];
};
const sendOne = async (act, csrf) => {
  const body = new URLSearchParams(act.body);
  body.set("csrf", csrf);
  const [status, told] = await ask(act.action, { method: "POST", headers: { "X-Kept": "1" }, body });
  if (told.taken) return localStorage.removeItem(act.key);
  if (status === 401 || status > 500 || !told.says) throw told;
  store({ ...act, refused: told.says });
};
const send = async () => {
  if (busy || !all().some((act) => !act.refused)) return;
  busy = true;
  const before = all().length, left = waiting(me).length;
  try {
    const [, here] = await ask("/here");
    signed = here.by;
    for (let acts; (acts = waiting(here.by)).length;) await sendOne(acts[0], here.csrf);
    tries = 0;
    next = Infinity;
  } catch {
    later();
  }
  busy = false;
  draw();
  const sent = before - all().length;
  if (waiting(me).length < left || sent) arrived(sent ? many(sent) + " kept on this tablet, now sent." : "");
};
// The server draws the page anew, unless something is being typed on it.
const arrived = (words) => {
  if (typed || !byId("do-now")) return words && tell(words);
  document.cookie = "said=" + encodeURIComponent(words) + ";path=/;max-age=60;samesite=lax";
  location.replace(location.pathname);
};
const add = (act) => {
  const number = 1 + Number(all().at(-1)?.key.split(" ")[1] || 0);
  store({ ...act, by: me, name: data.name, key: prefix + String(number).padStart(9, "0") + " " + act.id });
  tries = 0;
  later();
  draw();
};
window.outbox = { add, all, ask, line, send, waiting: () => waiting(me) };
on("click", (event) => {
  if (!event.target.matches("#outbox button")) return;
  localStorage.removeItem(refused().key);
  draw();
});
on("input", () => { typed = true; });
on("outbox:kept", () => { typed = false; });
addEventListener("online", send);
addEventListener("storage", draw);
setInterval(() => { if (Date.now() >= next) send(); draw(); }, 1000);
draw();
if (!data.offline) send();
if (me && navigator.serviceWorker) navigator.serviceWorker.register("/service-worker.js").catch(() => {});
