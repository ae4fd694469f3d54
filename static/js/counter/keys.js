// In a group of picks a digit takes the pick at that place, while the focus is in the group.
on("keydown", (event) => {
  const group = event.target.closest("[data-keys]");
  if (!group || !/^\d$/.test(event.key) || event.ctrlKey || event.altKey || event.metaKey) return;
  const pick = group.querySelectorAll("[type=checkbox], [type=radio]")[event.key === "0" ? 9 : event.key - 1];
  if (!pick) return;
  event.preventDefault();
  pick.focus();
  pick.click();
});
