// Copies a text; where the browser keeps its clipboard shut the text is chosen, ready for the keys.
addEventListener("click", (event) => {
  const button = event.target.closest("[data-copy]");
  if (!button) return;
  const text = document.getElementById(button.dataset.copy);
  text.select();
  const said = (words) => { document.getElementById("said").textContent = words; };
  if (navigator.clipboard) navigator.clipboard.writeText(text.value).then(() => said("The text is copied."));
  else said("The text is chosen: copy it with the keys.");
});
