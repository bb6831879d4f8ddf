// Panels of channels, one above the other, the laps laid over each other; all show the same stretch and share the cursor.

const channelView = {
  box: document.getElementById("channels"),
  axis: figures.knots ? "distance" : figures.laps.length > 1 ? "lapTime" : "runTime",
  laps: new Set(),
  open: new Set(),
  panels: new Map(),
  whole: [0, 1],
  from: 0,
  to: 1,
  cursor: NaN,
  lit: -1,

  lapsShown() {
    // The two that are compared come last, so that they lie on top.
    return figures.laps.filter(lap => this.laps.has(lap.index) && lap.count > 0)
      .sort((a, b) => (a.index === figures.hardest) - (b.index === figures.hardest) || (a.index === figures.fastest) - (b.index === figures.fastest) || a.index - b.index);
  },

  setAxis(name) {
    this.axis = name;
    this.box.querySelectorAll("input[name=axis]").forEach(input => { input.checked = input.value === name; });
    this.reset();
  },

  reset() {
    this.whole = extentOf(axes[this.axis], this.lapsShown());
    [this.from, this.to] = this.whole;
    this.draw();
  },

  show(from, to) {
    [this.from, this.to] = viewWithin(this.whole, from, to, (this.axis === "distance" ? 50 : 1) * 8 * figures.step);
    this.draw();
  },

  zoom(factor) {
    const inside = this.cursor >= this.from && this.cursor <= this.to;
    const middle = inside ? this.cursor : (this.from + this.to) / 2;
    this.show(middle - (middle - this.from) * factor, middle + (this.to - middle) * factor);
  },

  pan(share) {
    const by = share * (this.to - this.from);
    this.show(this.from + by, this.to + by);
  },

  step(steps) {
    const plot = this.panels.values().next().value?.plot;
    if (!plot) return;
    const width = plot.bbox.width / devicePixelRatio;
    const now = isFinite(this.cursor) ? plot.valToPos(this.cursor, "x") : width / 2;
    const left = Math.min(width, Math.max(0, now + steps * Math.max(1, width / 200)));
    for (const { plot } of this.panels.values()) plot.setCursor({ left, top: 0 });
    this.say();
  },

  // Once for the eye at each move; for a screen reader only when the keyboard moved it, or it would talk without end.
  say() {
    document.getElementById("channels-said").textContent = [this.place(), ...[...this.panels.values()].map(panel => panel.head.textContent)].join("; ");
  },

  place() {
    const axis = axes[this.axis];
    return isFinite(this.cursor) ? numberText(this.cursor, axis.decimals) + " " + axis.unit : "";
  },

  async draw() {
    const width = widthOf(this.box.querySelector(".panels"));
    const laps = this.lapsShown();
    // A column a pixel for the few laps that are compared; wider ones for many, so that a zoom is answered at once.
    const columns = Math.max(60, Math.min(width - axisRoom - 12, Math.max(240, Math.floor(4000 / laps.length))));
    const places = placesOf(this.from, this.to, columns);
    const wanted = [];
    for (const [index, panel] of this.panels) {
      const made = laps.map(lap => columnsOf(figures.channels[index], lap, axes[this.axis], this.from, this.to, columns));
      if (made.some(m => m.wantsSamples)) wanted.push(index);
      panel.update([places, ...made.map(m => m.values)], laps, this.from, this.to);
    }
    const state = this.box.dataset;
    state.from = this.from;
    state.to = this.to;
    state.axis = this.axis;
    state.laps = laps.map(lap => lap.number).join(" ");
    if (wanted.length === 0) {
      state.detail = "full";
      return;
    }
    // The buckets are on the screen by now; the samples follow when they are unpacked.
    state.detail = "coarse";
    const asked = [this.from, this.to, this.axis].join();
    await Promise.all(wanted.map(decode));
    if (asked === [this.from, this.to, this.axis].join() && state.detail === "coarse") this.draw();
  },

  openPanel(index, isOpen) {
    if (isOpen) this.open.add(index); else this.open.delete(index);
    const input = this.box.querySelector("input[name=channel][value=\"" + index + "\"]");
    if (input) input.checked = isOpen;
  },

  // New plots for the open channels: after a choice, a change of the window's width, or of the colours.
  build() {
    const holder = this.box.querySelector(".panels");
    for (const panel of this.panels.values()) panel.plot?.destroy();
    holder.replaceChildren();
    this.panels = new Map([...this.open].sort((a, b) => a - b).map((index, i, all) => [index, makePanel(this, index, holder, i === all.length - 1)]));
    this.draw();
  },
};

function makePanel(view, index, holder, isLast) {
  const channel = figures.channels[index];
  const decimals = decimalsOf(channel.stepOf);
  const head = element("p", { className: "panel-head" });
  const box = element("div", { className: "panel" });
  box.dataset.channel = channel.name;
  const title = element("b", {}, channel.name + " (" + channel.unit + ")");
  head.append(title);
  holder.append(head, box);
  const panel = { head, box, plot: null, laps: [] };

  const tell = plot => {
    const at = plot.cursor.idx;
    head.replaceChildren(title);
    if (at == null) return;
    view.cursor = plot.data[0][at];
    panel.laps.forEach((lap, i) => {
      // A column has two numbers; what a person reads is the stretch between them.
      const pair = at - at % 2;
      const [one, other] = [plot.data[i + 1][pair], plot.data[i + 1][pair + 1]];
      const low = one == null ? null : Math.min(one, other), high = one == null ? null : Math.max(one, other);
      const text = low === high || low == null ? numberText(low, decimals) : numberText(low, decimals) + " to " + numberText(high, decimals);
      head.append(element("span", { className: "tells lap-" + lap.sign }, " lap " + lap.number + ": " + text));
    });
    document.getElementById("channels-place").textContent = view.place();
  };

  panel.update = (data, laps, from, to) => {
    const isSame = panel.plot && laps.length === panel.laps.length && laps.every((lap, i) => lap === panel.laps[i]);
    panel.laps = laps;
    if (!isSame) {
      panel.plot?.destroy();
      panel.plot = new uPlot({
        width: widthOf(holder), height: (innerWidth < 500 ? 96 : 118) + (isLast ? 44 : 0),
        legend: { show: false },
        scales: { x: { time: false, range: () => [view.from, view.to] } },
        cursor: {
          y: false, drag: { x: true, y: false, setScale: false },
          // Only the moves are shared: a drag is answered once, by the panel in which it was made.
          sync: { key: "channels", filters: { pub: type => type === "mousemove" || type === "mouseleave", sub: type => type === "mousemove" || type === "mouseleave" } },
          bind: { dblclick: () => () => { view.reset(); return null; } },
        },
        axes: [
          axisLook(isLast ? axes[view.axis].label : null, isLast ? { size: 34 } : { size: 8, values: () => [] }),
          axisLook(null, { size: axisRoom, values: (_, ticks) => ticks.map(tick => String(+tick.toPrecision(10)).replace("-", "\u2212")) }),
        ],
        series: [{}, ...laps.map(lap => ({ stroke: lineColour(lap.sign), width: lap.index === view.lit ? 2.5 : 1.2, alpha: view.lit >= 0 && lap.index !== view.lit ? 0.35 : 1, points: { show: false } }))],
        hooks: {
          setCursor: [tell],
          setSelect: [plot => {
            const { left, width } = plot.select;
            if (width < 4) return;
            const [from, to] = [plot.posToVal(left, "x"), plot.posToVal(left + width, "x")];
            plot.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
            view.show(from, to);
          }],
          draw: [plot => markStrikes(plot, view, channel)],
        },
      }, data, box);
      return;
    }
    panel.plot.batch(() => {
      panel.plot.setData(data, false);
      panel.plot.setScale("x", { min: from, max: to });
    });
  };
  return panel;
}

// A small triangle at the upper edge where a strike was found on the channel's own corner.
function markStrikes(plot, view, channel) {
  if (channel.corner < 0) return;
  const pen = plot.ctx, size = 5 * devicePixelRatio;
  pen.save();
  pen.fillStyle = style("ink");
  for (const strike of figures.strikes) {
    if (strike.corner !== channel.corner) continue;
    const lap = figures.laps.find(lap => strike.at >= lap.from && strike.at < lap.to);
    if (!lap || !view.laps.has(lap.index)) continue;
    const place = axes[view.axis].at(lap, strike.at - lap.from);
    if (!(place >= view.from && place <= view.to)) continue;
    const x = plot.valToPos(place, "x", true), y = plot.bbox.top;
    pen.beginPath();
    pen.moveTo(x - size, y);
    pen.lineTo(x + size, y);
    pen.lineTo(x, y + size * 1.4);
    pen.fill();
  }
  pen.restore();
}
