// Figures of one plot each: aero load against speed, and how many cycles reach a range.

// Points of a shape: told apart without colour.
function shapes(kind, size) {
  return (plot, series, first, last) => {
    const path = new Path2D(), half = size * devicePixelRatio / 2;
    for (let i = first; i <= last; i++) {
      const value = plot.data[series][i];
      if (value == null) continue;
      const x = plot.valToPos(plot.data[0][i], "x", true), y = plot.valToPos(value, "y", true);
      if (kind === "square") path.rect(x - half, y - half, 2 * half, 2 * half);
      else if (kind === "cross") { path.rect(x - half, y - 1, 2 * half, 2); path.rect(x - 1, y - half, 2, 2 * half); }
      else if (kind === "triangle") { path.moveTo(x - half, y + half); path.lineTo(x + half, y + half); path.lineTo(x, y - half); path.closePath(); }
      else { path.moveTo(x + half, y); path.arc(x, y, half, 0, 2 * Math.PI); }
    }
    return { fill: path, stroke: null, clip: null };
  };
}

// A plot with the shared keys and buttons; "make" gives its data and options for the colours of the moment.
function zoomable(id, height, make) {
  const box = document.getElementById(id);
  if (!box) return;
  const holder = box.querySelector(".panels"), place = box.querySelector(".place");
  let plot = null, whole = null;
  const target = {
    show(from, to) {
      const [min, max] = viewWithin(whole, from, to, (whole[1] - whole[0]) / 5000);
      plot.setScale("x", { min, max });
      box.dataset.from = min;
      box.dataset.to = max;
    },
    zoom(factor) {
      const { min, max } = plot.scales.x, middle = plot.cursor.left > 0 ? plot.posToVal(plot.cursor.left, "x") : (min + max) / 2;
      this.show(middle - (middle - min) * factor, middle + (max - middle) * factor);
    },
    pan(share) {
      const { min, max } = plot.scales.x;
      this.show(min + share * (max - min), max + share * (max - min));
    },
    step(steps) {
      const width = plot.bbox.width / devicePixelRatio;
      plot.setCursor({ left: Math.min(width, Math.max(0, (plot.cursor.left >= 0 ? plot.cursor.left : width / 2) + steps * width / 200)), top: 0 });
    },
    reset() { this.show(...whole); },
  };
  const build = () => {
    plot?.destroy();
    const { data, options, tell } = make();
    whole = options.whole;
    plot = new uPlot({
      width: widthOf(holder), height: innerWidth < 500 ? height * 0.75 : height,
      legend: { live: false },
      scales: { x: { time: false, min: whole[0], max: whole[1] }, y: options.y ?? {} },
      cursor: { y: false, drag: { x: true, y: false, setScale: false }, points: { show: false }, bind: { dblclick: () => () => { target.reset(); return null; } } },
      axes: options.axes, series: options.series, bands: options.bands,
      hooks: {
        setSelect: [u => {
          if (u.select.width < 4) return;
          const [from, to] = [u.posToVal(u.select.left, "x"), u.posToVal(u.select.left + u.select.width, "x")];
          u.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
          target.show(from, to);
        }],
        setCursor: [u => { place.textContent = u.cursor.left >= 0 ? tell(u.posToVal(u.cursor.left, "x")) : ""; }],
      },
    }, data, holder);
    target.show(...whole);
  };
  box.querySelector(".tools").append(zoomButtons(target, box.getAttribute("aria-label")));
  useKeys(box, target);
  redraws.push(build);
  build();
}

// The value at a place of a line through points whose x rise; null outside.
function lineAt(xs, ys, x) {
  const i = xs.findIndex(at => at >= x);
  if (i < 0 || (i === 0 && xs[0] > x)) return null;
  if (i === 0) return ys[0];
  return ys[i - 1] + (ys[i] - ys[i - 1]) * (x - xs[i - 1]) / (xs[i] - xs[i - 1]);
}

function drawAero() {
  const aero = figures.aero;
  if (!aero) return;
  const points = (label, kind, i) => ({ label, stroke: lineColour(i), fill: lineColour(i) + "b0", paths: shapes(kind, 6), points: { show: false } });
  const line = (label, i) => ({ label, stroke: lineColour(i), width: 2.5, spanGaps: true, points: { show: false } });
  const edge = () => ({ stroke: "transparent", width: 0, spanGaps: true, points: { show: false }, label: "", class: "edge" });
  zoomable("aero-figure", 420, () => {
    const used = [aero.speed, aero.speed.map((_, i) => aero.front[i] + aero.rear[i]), aero.rear, aero.front];
    const tables = [];
    const sorted = columns => {
      const order = columns[0].map((_, i) => i).sort((a, b) => columns[0][a] - columns[0][b]);
      // Two windows of exactly one speed would become one point: the second is moved by less than can be seen.
      const xs = order.map(i => columns[0][i]);
      for (let i = 1; i < xs.length; i++) if (xs[i] <= xs[i - 1]) xs[i] = xs[i - 1] + 1e-6;
      return [xs, ...columns.slice(1).map(column => order.map(i => column[i]))];
    };
    if (aero.awaySpeed.length) tables.push(sorted([aero.awaySpeed, aero.awayTotal]));
    tables.push(sorted(used));
    const hasCurve = aero.curveSpeed.length > 1;
    if (hasCurve) tables.push([aero.curveSpeed, aero.highTotal, aero.lowTotal, aero.curveTotal, aero.highRear, aero.lowRear, aero.curveRear, aero.highFront, aero.lowFront, aero.curveFront]);
    const away = aero.awaySpeed.length ? [{ label: "total of windows turned away", stroke: style("muted"), fill: style("muted"), paths: shapes("cross", 6), points: { show: false } }] : [];
    const series = [{}, ...away, points("total, window of 0.5 s", "circle", 0), points("rear", "square", 1), points("front", "triangle", 2)];
    const bands = [];
    if (hasCurve) {
      for (const [i, name] of ["total", "rear", "front"].entries()) {
        bands.push({ series: [series.length, series.length + 1], fill: lineColour(i) + "40" });
        series.push(edge(), edge(), line(name + ", still air, with 95 % band", i));
      }
    }
    const speeds = [...aero.speed, ...aero.curveSpeed];
    const from = Math.max(Math.min(...speeds), hasCurve ? aero.curveSpeed[0] - 20 : 0);
    return {
      data: uPlot.join(tables),
      tell: speed => numberText(speed, 0) + " km/h: " + (hasCurve && lineAt(aero.curveSpeed, aero.curveTotal, speed) != null
        ? ["Total", "Rear", "Front"].map(name => name.toLowerCase() + " " + numberText(lineAt(aero.curveSpeed, aero["curve" + name], speed), 2)
          + " (" + numberText(lineAt(aero.curveSpeed, aero["low" + name], speed), 2) + " to " + numberText(lineAt(aero.curveSpeed, aero["high" + name], speed), 2) + ") kN").join("; ")
        : "outside the passes"),
      options: {
        whole: [from - 6, Math.max(...speeds) + 8], series, bands,
        axes: [axisLook("Air speed (km/h)", { size: 38 }), axisLook("Aero load, downwards (kN)", { size: axisRoom })],
      },
    };
  });
}

function drawExceedance() {
  const parts = figures.exceedance ?? [];
  if (parts.length === 0) return;
  const logsOf = counts => counts.map(Math.log10);
  const decades = (_, axis, min, max) => {
    const ticks = [];
    for (let decade = Math.floor(min); decade <= max; decade++) for (const lead of max - min > 2.2 ? [1] : [1, 2, 5]) ticks.push(decade + Math.log10(lead));
    return ticks.filter(tick => tick >= min && tick <= max);
  };
  const edge = () => ({ stroke: "transparent", width: 0, spanGaps: true, points: { show: false }, label: "", class: "edge" });
  const dashes = [[], [14, 6], [3, 4], [14, 5, 3, 5], [7, 4], [20, 5, 3, 5], [2, 5]];
  zoomable("exceedance-figure", 380, () => {
    const logs = parts.map(part => logsOf(part.counts));
    const band = parts[0].lowCounts ? [[logsOf(parts[0].highCounts), parts[0].highRanges], [logsOf(parts[0].lowCounts), parts[0].lowRanges]] : [];
    const whole = [Math.min(...logs.map(l => l[0])) - 0.05, Math.max(...logs.map(l => l[l.length - 1])) + 0.1];
    return {
      data: uPlot.join([...parts.map((part, i) => [logs[i], part.ranges]), ...band]),
      tell: log => "reached " + numberText(10 ** log, 10 ** log < 10 ? 1 : 0) + " times: " + parts.map((part, i) => part.name + " " + numberText(lineAt(logs[i], part.ranges, log), 1) + " kN").join("; "),
      options: {
        whole,
        series: [{}, ...parts.map((part, i) => ({ label: part.name, stroke: lineColour(i), width: 2.2, dash: dashes[i % 7], spanGaps: true, points: { show: false } })), ...band.map(edge)],
        bands: band.length ? [{ series: [parts.length + 1, parts.length + 2], fill: lineColour(0) + "30" }] : [],
        axes: [
          axisLook("Cycles that reach the range (count, logarithmic)", { size: 38, splits: decades, values: (_, ticks) => ticks.map(tick => String(+(10 ** tick).toPrecision(3))) }),
          axisLook("Load range (kN)", { size: axisRoom }),
        ],
      },
    };
  });
}
