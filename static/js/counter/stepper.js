// The − and + around a count. The field stays a plain one that can be typed into.
on("click", (event) => {
  const button = event.target.closest("[data-stepper] [data-by]");
  if (!button) return;
  const box = button.closest("[data-stepper]");
  const field = box.querySelector("input");
  const now = parseInt(field.value, 10);
  const next = Number.isNaN(now) ? Math.max(0, +button.dataset.by) : now + +button.dataset.by;
  field.value = Math.min(+box.dataset.high, Math.max(+box.dataset.low, next));
  field.dispatchEvent(new Event("input", { bubbles: true }));
  field.dispatchEvent(new Event("change", { bubbles: true }));
});
