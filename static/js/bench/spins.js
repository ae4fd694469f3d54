// A tap that was kept: on to the next output by itself, as the server would have drawn it. After the
// last one a second round begins; what was found shows when the taps are sent.
on("outbox:kept", (event) => {
  const form = event.target, button = event.detail, field = form.querySelector("[name=output]");
  const outputs = [...document.querySelectorAll("[data-output]")], at = outputs.findIndex((each) => each.dataset.output === field?.value);
  if (at < 0 || !button) return;
  const after = outputs[(at + 1) % outputs.length], title = byId("do-now-title");
  const mark = (each, words) => each.replaceChildren(each.firstElementChild, words);
  mark(outputs[at], button.value + ", not sent");
  outputs[at].removeAttribute("aria-current");
  mark(after, "spin now");
  after.setAttribute("aria-current", "step");
  field.value = after.dataset.output;
  if (at + 1 === outputs.length && !form.querySelector("[name=again]")) {
    field.after(Object.assign(document.createElement("input"), { type: "hidden", name: "again", value: "yes" }));
  }
  const again = form.querySelector("[name=again]") ? " again" : "";
  title.textContent = "Spin output " + field.value + again + ". What turned, and which way?";
  title.focus();
});
