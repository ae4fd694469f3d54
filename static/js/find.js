// Keys of a code scanner reach the find box from anywhere: a code's prefix, fast, ended by Enter,
// and never while a field is being typed into.
const prefix = /^(https?:\/\/|QW-?\d)/i;
const fastest = 60;
let keys = "", last = 0;
const typing = (node) => node && node.closest && node.closest("input, textarea, select, [contenteditable]");
on("keydown", (event) => {
  if (typing(event.target) || event.ctrlKey || event.altKey || event.metaKey) return;
  const now = performance.now();
  if (now - last > fastest) keys = "";
  last = now;
  if (event.key === "Enter") {
    const box = document.querySelector("[data-find]");
    if (box && keys.length > 4 && prefix.test(keys)) {
      event.preventDefault();
      box.value = keys;
      box.form.requestSubmit();
    }
    keys = "";
  } else if (event.key.length === 1) {
    keys += event.key;
  }
}, true);
