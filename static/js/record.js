// A measured value: its button says what will be recorded, its drawing's pointer goes where it is.
const read = (text) => {
  const tidy = text.replace(/[\s\u00a0]/g, "").replace("−", "-").replace(",", ".");
  return /^[+-]?\d+(\.\d+)?$/.test(tidy) ? tidy : null;
};
const follow = (field) => {
  const value = read(field.value);
  for (const button of document.querySelectorAll("[data-records='" + field.id + "']")) {
    if (!button.dataset.plain) button.dataset.plain = button.textContent;
    const unit = field.dataset.unit ? "\u00a0" + field.dataset.unit : "";
    button.textContent = value === null ? button.dataset.plain : button.dataset.plain + " " + value + unit;
  }
  const drawn = document.querySelector("[data-limits='" + field.id + "'] [data-pointer]");
  if (!drawn) return;
  drawn.toggleAttribute("hidden", value === null);
  if (value === null) return;
  const { low, high, left, right, least, most } = drawn.dataset;
  const at = Math.min(+most, Math.max(+least, +left + (value - low) / (high - low) * (right - left)));
  drawn.setAttribute("transform", "translate(" + at + " 0)");
  drawn.classList.toggle("out", value < +low || value > +high);
  const words = drawn.querySelector("text");
  if (words) words.textContent = value + (field.dataset.unit ? "\u00a0" + field.dataset.unit : "");
};
document.addEventListener("input", (event) => { if (event.target.id) follow(event.target); });
const start = () => {
  for (const button of document.querySelectorAll("[data-records]")) {
    const field = document.getElementById(button.dataset.records);
    if (field && field.value) follow(field);
  }
};
document.addEventListener("DOMContentLoaded", start);
document.addEventListener("htmx:afterSettle", start);
