// Colours come from the style sheet, so that light, dark and paper have theirs in one place.

const style = name => getComputedStyle(document.documentElement).getPropertyValue("--" + name).trim();
const lineColour = i => style("line-" + (i % 7));

function element(name, parts = {}, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(parts)) {
    if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
    else if (key in made && key !== "list") made[key] = value;
    else made.setAttribute(key, value);
  }
  made.append(...children);
  return made;
}

const numberText = (value, decimals) => value == null || !isFinite(value) ? "-" : value.toFixed(decimals).replace("-", "\u2212");

// Decimals at which one step of a channel can be told.
const decimalsOf = step => step > 0 ? Math.min(6, Math.max(0, Math.ceil(-Math.log10(step)))) : 0;

function axisLook(label, more = {}) {
  return {
    stroke: style("ink"), label, labelFont: "14px system-ui, sans-serif", font: "13px system-ui, sans-serif", labelSize: 22,
    grid: { stroke: style("line"), width: 1 }, ticks: { stroke: style("line"), width: 1 }, ...more,
  };
}

// Room for the widest number that an axis can show.
const axisRoom = innerWidth < 500 ? 44 : 56;

// What is drawn must fit its box, whatever the window does.
const widthOf = box => Math.max(240, Math.floor(box.clientWidth));

// Groups of elements that are drawn anew when the window or the scheme changes.
const redraws = [];
let redrawAt = 0;
function redrawSoon() {
  clearTimeout(redrawAt);
  redrawAt = setTimeout(() => redraws.forEach(redraw => redraw()), 120);
}
