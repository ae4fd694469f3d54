// A measured value: its button says what will be recorded, its drawing's pointer goes where it is.
const read = (text) => {
  const tidy = text.replace(/[\s\u00a0]/g, "").replace("−", "-").replace(",", ".");
  return /^[+-]?\d+(\.\d+)?$/.test(tidy) ? tidy : null;
};
const make = (name, attrs) => {
  const made = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const key in attrs) made.setAttribute(key, attrs[key]);
  return made;
};
const point = (frame, field, value) => {
  const drawing = frame && frame.querySelector("svg");
  if (!drawing) return;
  const old = drawing.querySelector("[data-pointer]");
  if (old) old.remove();
  if (value === null) return;
  const [from, to, left, right, axis] = frame.dataset.scale.split(" ").map(Number);
  const low = +field.dataset.low, high = +field.dataset.high;
  const x = Math.min(right, Math.max(left, from + (value - low) / (high - low) * (to - from)));
  const where = value < low ? ", under" : value > high ? ", over" : "";
  const tone = "dw-fill-" + (where ? "signal" : "pen");
  const group = make("g", { "data-pointer": "" });
  const top = axis - 26;
  group.append(make("path", { class: tone, d: "M" + (x - 8) + " " + top + "h16l-8 22z" }));
  const words = make("text", { class: tone, x: Math.min(right - 30, Math.max(left + 30, x)), y: axis - 33, "text-anchor": "middle", "font-size": 15 });
  words.textContent = value + (field.dataset.unit ? "\u00a0" + field.dataset.unit : "") + where;
  group.append(words);
  drawing.append(group);
};
const follow = (field) => {
  const value = read(field.value);
  for (const button of document.querySelectorAll("[data-records='" + field.id + "']")) {
    if (!button.dataset.plain) button.dataset.plain = button.textContent;
    const unit = field.dataset.unit ? "\u00a0" + field.dataset.unit : "";
    button.textContent = value === null ? button.dataset.plain : button.dataset.plain + " " + value + unit;
  }
  point(document.querySelector("[data-limits='" + field.id + "']"), field, value);
};
on("input", (event) => { if (event.target.id) follow(event.target); });
const start = () => {
  for (const button of document.querySelectorAll("[data-records]")) {
    const field = byId(button.dataset.records);
    if (field && field.value) follow(field);
  }
};
on("DOMContentLoaded", start);
on("htmx:afterSettle", start);
