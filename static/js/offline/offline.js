// In place of a page that could not be fetched: what waits to be sent, and on to the page itself when
// the server answers.
const list = byId("unsent");
const draw = () => list.replaceChildren(...window.outbox.all().filter((act) => !act.refused).map((act) => {
  const item = document.createElement("li");
  item.textContent = act.name + ": " + window.outbox.line(act);
  return item;
}));
const look = async () => {
  try {
    await window.outbox.ask("/here");
    await window.outbox.send();
    location.replace(location.href);
  } catch {
    setTimeout(look, 5000);
  }
};
draw();
addEventListener("online", () => location.replace(location.href));
setTimeout(look, 3000);
