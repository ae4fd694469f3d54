// What every script here may use.
window.on = (name, then, early) => document.addEventListener(name, then, early);
window.byId = (id) => document.getElementById(id);
window.tell = (words) => { byId("said").textContent = words; };
