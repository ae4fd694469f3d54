// A signature on the tablet: each stroke as whole numbers in a box of 600 by 200.
for (const part of document.querySelectorAll("[data-sign]")) {
  const pad = part.querySelector("canvas"), field = part.querySelector("input"), pen = pad.getContext("2d");
  let strokes = field.value.split(";").filter(Boolean).map((s) => s.split(" ").map(Number)), drawing = false;
  Object.assign(pad.style, { width: "100%", padding: 0, touchAction: "none" });
  const draw = () => {
    pen.clearRect(0, 0, 600, 200);
    Object.assign(pen, { strokeStyle: getComputedStyle(pad).color, lineWidth: 3, lineCap: "round" });
    for (const [x, y, ...rest] of strokes) {
      pen.beginPath();
      pen.moveTo(x, y);
      pen.lineTo(x, y);
      for (let i = 0; i < rest.length; i += 2) pen.lineTo(rest[i], rest[i + 1]);
      pen.stroke();
    }
    field.value = strokes.map((s) => s.join(" ")).join(";");
  };
  const at = (event) => {
    const box = pad.getBoundingClientRect(), inside = (n, most) => Math.round(Math.min(most, Math.max(0, n)));
    return [inside((event.clientX - box.x) * 600 / box.width, 600), inside((event.clientY - box.y) * 200 / box.height, 200)];
  };
  pad.onpointerdown = (event) => { drawing = true; pad.setPointerCapture(event.pointerId); strokes.push(at(event)); draw(); };
  pad.onpointermove = (event) => {
    const line = strokes.at(-1), [x, y] = at(event);
    if (!drawing || Math.hypot(x - line.at(-2), y - line.at(-1)) < 3) return;
    line.push(x, y);
    draw();
  };
  pad.onpointerup = pad.onpointercancel = () => { drawing = false; };
  part.querySelector("button").onclick = () => { strokes = []; draw(); };
  draw();
}
