// Drawings that the program made as SVG: the script only lets one look closer.

function zoomDrawing(box) {
  const drawing = box.querySelector("svg");
  const whole = drawing.viewBox.baseVal;
  const full = [whole.x, whole.y, whole.width, whole.height];
  let now = full;
  const show = view => {
    now = view;
    drawing.setAttribute("viewBox", view.join(" "));
    box.dataset.zoom = (full[2] / view[2]).toFixed(2);
  };
  const place = (x, y, width) => {
    const height = width * full[3] / full[2];
    show([Math.min(Math.max(x, full[0]), full[0] + full[2] - width), Math.min(Math.max(y, full[1]), full[1] + full[3] - height), width, height]);
  };
  const target = {
    zoom(factor, atX = now[0] + now[2] / 2, atY = now[1] + now[3] / 2) {
      const width = Math.min(full[2], Math.max(full[2] / 32, now[2] * factor));
      place(atX - (atX - now[0]) * width / now[2], atY - (atY - now[1]) * width / now[2], width);
    },
    pan(share) { place(now[0] + share * now[2], now[1], now[2]); },
    step(steps) { place(now[0] + steps * now[2] / 20, now[1], now[2]); },
    reset() { show(full); },
  };
  box.querySelector(".tools").append(zoomButtons(target, box.getAttribute("aria-label")));
  useKeys(box, target);
  drawing.addEventListener("dblclick", event => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(drawing.getScreenCTM().inverse());
    target.zoom(0.5, at.x, at.y);
  });
  let held = null;
  drawing.addEventListener("pointerdown", event => { held = [event.clientX, event.clientY, now]; });
  drawing.addEventListener("pointermove", event => {
    if (!held || !event.buttons || now[2] === full[2]) return;
    const scale = now[2] / drawing.clientWidth;
    place(held[2][0] - (event.clientX - held[0]) * scale, held[2][1] - (event.clientY - held[1]) * scale, now[2]);
  });
  drawing.addEventListener("pointerup", () => { held = null; });
}
