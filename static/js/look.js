// Light or dark at once; the cookie lets the server draw the next page so.
on("submit", (event) => {
  const form = event.target;
  if (!form.matches("[data-look]") || !event.submitter) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  const theme = event.submitter.value, root = document.documentElement;
  root.toggleAttribute("data-dark", theme === "dark");
  root.toggleAttribute("data-light", theme === "light");
  document.cookie = "theme=" + theme + ";path=/;samesite=lax;max-age=" + (theme ? 31536000 : 0);
  for (const button of form.querySelectorAll("button")) {
    button.setAttribute("aria-pressed", String(button.value === theme));
  }
}, true);
