// One set of keys and buttons for everything that zooms.

// "target" has zoom(factor), pan(share of the view), step(cursor steps) and reset().
function useKeys(box, target) {
  box.addEventListener("keydown", event => {
    if (event.target !== box || event.ctrlKey || event.altKey || event.metaKey) return;
    const far = event.shiftKey;
    const act = {
      ArrowLeft: () => far ? target.pan(-0.25) : target.step(-1),
      ArrowRight: () => far ? target.pan(0.25) : target.step(1),
      PageUp: () => target.pan(-0.9),
      PageDown: () => target.pan(0.9),
      ArrowUp: () => target.zoom(0.5),
      ArrowDown: () => target.zoom(2),
      "+": () => target.zoom(0.5),
      "-": () => target.zoom(2),
      Escape: () => target.reset(),
    }[event.key];
    if (act) {
      act();
      event.preventDefault();
    }
  });
}

function zoomButtons(target, what) {
  const button = (text, says, act) => element("button", { type: "button", "aria-label": says + " (" + what + ")", onclick: act }, text);
  return element("span", { className: "zoom" },
    button("+", "Zoom in", () => target.zoom(0.5)),
    button("\u2212", "Zoom out", () => target.zoom(2)),
    button("\u25c0", "Move left", () => target.pan(-0.5)),
    button("\u25b6", "Move right", () => target.pan(0.5)),
    button("Whole", "Show the whole", () => target.reset()));
}

// A view onto an axis that stays inside the whole of it.
function viewWithin(whole, from, to, least) {
  const span = Math.min(whole[1] - whole[0], Math.max(to - from, least));
  const middle = (from + to) / 2;
  const start = Math.min(Math.max(middle - span / 2, whole[0]), whole[1] - span);
  return [start, start + span];
}
