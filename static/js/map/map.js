// The leads at fault are marked anew after each change; the form itself is never swapped.
on("htmx:afterSettle", () => {
  const looks = byId("looks");
  if (!looks) return;
  const wrong = new Set(looks.dataset.faults.split(" "));
  for (const select of document.querySelectorAll("select[data-lead]")) {
    const at = wrong.has(select.name);
    select.closest(".lead").classList.toggle("in-error", at);
    if (at) select.setAttribute("aria-invalid", "true");
    else select.removeAttribute("aria-invalid");
  }
});
