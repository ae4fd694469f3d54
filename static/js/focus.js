// Focus after a swap: to the error summary, or to the next step's heading; nothing else moves it.
// A part that refreshes itself is left alone while a hand is on it.
const settle = (root) => {
  const to = root.querySelector("[data-focus]") || root.querySelector("[data-focus-after]");
  if (to) to.focus();
};
on("DOMContentLoaded", () => {
  const summary = document.querySelector(".error-summary[data-focus]");
  if (summary) summary.focus();
  const said = byId("said");
  if (said && said.textContent.trim()) {
    const words = said.textContent;
    said.textContent = "";
    requestAnimationFrame(() => { said.textContent = words; });
  }
});
on("htmx:afterSettle", (event) => {
  const asked = event.detail.requestConfig;
  const act = asked && asked.verb !== "get";
  if (act || event.detail.elt.querySelector(".error-summary")) settle(event.detail.elt.parentElement || document);
});
on("htmx:beforeSwap", (event) => {
  const target = event.detail.target;
  if (target.matches("[data-quiet], [hx-trigger*=every]") && (target.matches(":hover") || target.contains(document.activeElement))) {
    event.detail.shouldSwap = false;
  }
});
