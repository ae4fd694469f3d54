// In a group of picks a digit takes the pick at that place, while the focus is in the group. With a
// keyboard the focus begins there; a phone's page stays at its top.
on("DOMContentLoaded", () => {
  const first = document.querySelector("[data-keys] input");
  if (first && matchMedia("(hover: hover)").matches && !document.querySelector(".error-summary")) first.focus();
});
on("keydown", (event) => {
  const group = event.target.closest("[data-keys]");
  if (!group || !/^\d$/.test(event.key) || event.ctrlKey || event.altKey || event.metaKey) return;
  const pick = group.querySelectorAll("input")[event.key === "0" ? 9 : event.key - 1];
  if (!pick) return;
  event.preventDefault();
  pick.focus();
  pick.click();
});
