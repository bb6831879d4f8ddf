// Builds the page's controls, draws the first screen, and says so.

function choice(kind, name, value, isChosen, act, ...text) {
  const input = element("input", { type: kind, name, value, checked: isChosen, onchange: act });
  return element("label", {}, input, ...text);
}

function buildChannelTools() {
  const view = channelView, tools = view.box.querySelector(".tools");
  const names = { distance: "distance", lapTime: "lap time", runTime: "run time" };
  const along = element("fieldset", {}, element("legend", {}, "Along"));
  for (const name of Object.keys(axes)) {
    if (name === "distance" && !figures.knots) continue;
    along.append(choice("radio", "axis", name, view.axis === name, () => view.setAxis(name), names[name]));
  }
  const laps = element("fieldset", { id: "lap-choice" }, element("legend", {}, "Laps"));
  for (const lap of figures.laps) {
    const remark = lap.index === figures.fastest ? ", fastest" : lap.index === figures.hardest ? ", hardest" : lap.comparable ? "" : ", not whole";
    const label = choice("checkbox", "lap", lap.index, view.laps.has(lap.index), event => {
      if (event.target.checked) view.laps.add(lap.index); else view.laps.delete(lap.index);
      view.whole = extentOf(axes[view.axis], view.lapsShown());
      view.show(view.from, view.to);
    }, element("span", { className: "swatch lap-" + lap.sign, "aria-hidden": "true" }), lap.number + " (" + numberText(lap.seconds, 1) + " s" + remark + ")");
    // Whoever cannot tell the colours apart points at a lap, and its line stands out.
    const light = index => () => { view.lit = index; view.build(); };
    label.addEventListener("mouseenter", light(lap.index));
    label.addEventListener("mouseleave", light(-1));
    laps.append(label);
  }
  laps.append(element("button", { type: "button", id: "all-laps", onclick: () => { chooseLaps(figures.laps.filter(lap => lap.comparable).map(lap => lap.index)); view.build(); view.reset(); } }, "All whole laps"));
  const channels = element("fieldset", { id: "channel-choice" }, element("legend", {}, "Channels"));
  figures.channels.forEach((channel, i) => channels.append(choice("checkbox", "channel", i, view.open.has(i), event => { view.openPanel(i, event.target.checked); view.build(); }, channel.name)));
  tools.append(along, laps, channels, zoomButtons(view, "channels"));
}

// The numbers of what is drawn, for whoever does not see the lines.
function fillChannelTable() {
  const details = document.getElementById("channels-table");
  details.addEventListener("toggle", () => {
    if (!details.open) return;
    const head = element("tr", {}, ...["Channel", "Unit", "Lap", "Lowest", "Highest", "Half a step"].map(text => element("th", { scope: "col" }, text)));
    const rows = [];
    for (const [index, panel] of channelView.panels) {
      const channel = figures.channels[index], decimals = decimalsOf(channel.stepOf);
      panel.laps.forEach((lap, i) => {
        let low = Infinity, high = -Infinity;
        for (const value of panel.plot.data[i + 1]) {
          if (value == null) continue;
          if (value < low) low = value;
          if (value > high) high = value;
        }
        rows.push(element("tr", {}, ...[channel.name, channel.unit, lap.number, numberText(low, decimals), numberText(high, decimals), "\u00b1" + (channel.stepOf / 2).toPrecision(2)].map(text => element("td", {}, String(text)))));
      });
    }
    const range = numberText(channelView.from, 1) + " to " + numberText(channelView.to, 1) + " " + axes[channelView.axis].unit;
    details.querySelector("div").replaceChildren(element("table", {}, element("caption", {}, "Lowest and highest sample shown, " + axes[channelView.axis].label.toLowerCase() + ", " + range), element("thead", {}, head), element("tbody", {}, ...rows)));
  });
}

function start() {
  document.body.classList.add("is-live");
  for (const live of document.querySelectorAll(".live")) live.hidden = false;
  const wholeLaps = figures.laps.filter(lap => lap.comparable);
  const first = [...new Set([figures.fastest, figures.hardest])].filter(index => index >= 0);
  channelView.laps = new Set(first.length ? first : wholeLaps.slice(0, 2).map(lap => lap.index));
  figures.channels.forEach((channel, i) => { if (channel.open) channelView.open.add(i); });
  buildChannelTools();
  fillChannelTable();
  useKeys(channelView.box, channelView);
  channelView.whole = extentOf(axes[channelView.axis], channelView.lapsShown());
  [channelView.from, channelView.to] = channelView.whole;
  channelView.build();
  redraws.push(() => channelView.build());
  drawAero();
  drawExceedance();
  document.querySelectorAll(".drawing").forEach(zoomDrawing);
  wireStrikes();
  addEventListener("resize", redrawSoon);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", redrawSoon);
  document.body.dataset.ready = "yes";
  // A second's rest first: what is on the screen, and what a person does with it at once, comes before what may be wanted later.
  addEventListener("load", () => setTimeout(() => decodeAhead(channelView.open), 1000));
}

start();
