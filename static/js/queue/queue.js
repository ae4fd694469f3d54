// The queue fetches itself anew, but never under a hand that is in it.
on("htmx:beforeRequest", (event) => {
  const lines = event.target;
  if (lines.id === "queue-lines" && lines.contains(document.activeElement)) event.preventDefault();
});
