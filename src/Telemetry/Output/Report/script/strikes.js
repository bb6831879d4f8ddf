// From a strike, a lap or a place to the raw history behind it.

function jumpToStrike(number) {
  const strike = figures.strikes.find(one => one.number === number);
  if (!strike) return;
  const lap = figures.laps.find(one => strike.at >= one.from && strike.at < one.to);
  chooseLaps([lap.index]);
  figures.channels.forEach((channel, i) => { if (channel.corner === strike.corner) channelView.openPanel(i, true); });
  channelView.axis = "runTime";
  channelView.box.querySelectorAll("input[name=axis]").forEach(input => { input.checked = input.value === "runTime"; });
  channelView.whole = extentOf(axes.runTime, [lap]);
  const at = sample => axes.runTime.at(lap, sample - lap.from);
  const room = 0.5 * (at(strike.to) - at(strike.from));
  [channelView.from, channelView.to] = viewWithin(channelView.whole, at(strike.from) - room, at(strike.to) + room, 8 * figures.step);
  channelView.build();
  channelView.box.dataset.strike = number;
  document.getElementById("channels-said").textContent = "Strike " + strike.text;
  document.getElementById("channels-place").textContent = "Strike " + strike.text;
  comeTo(channelView.box);
}

function jumpToPlace(from, to) {
  channelView.axis = "distance";
  channelView.setAxis("distance");
  channelView.show(from, to);
  comeTo(channelView.box);
}

function jumpToLap(index) {
  chooseLaps([index]);
  channelView.build();
  channelView.reset();
  comeTo(channelView.box);
}

function comeTo(box) {
  box.scrollIntoView({ block: "start" });
  box.focus({ preventScroll: true });
}

function chooseLaps(indices) {
  channelView.laps = new Set(indices);
  channelView.box.querySelectorAll("input[name=lap]").forEach(input => { input.checked = channelView.laps.has(+input.value); });
}

function wireStrikes() {
  document.addEventListener("click", event => {
    const mark = event.target.closest?.("[data-strike-number], [data-place-from], [data-lap-index]");
    if (!mark) return;
    if (mark.dataset.strikeNumber) jumpToStrike(+mark.dataset.strikeNumber);
    else if (mark.dataset.placeFrom) jumpToPlace(+mark.dataset.placeFrom, +mark.dataset.placeTo);
    else jumpToLap(+mark.dataset.lapIndex);
  });
  // A drawing's marks are for the pointer; the list and the table's buttons are the same way for the keyboard.
  const list = document.getElementById("strike-list");
  if (list) {
    list.append(...figures.strikes.map(strike => element("option", { value: strike.number }, strike.text)));
    document.getElementById("strike-show").addEventListener("click", () => jumpToStrike(+list.value));
  }
  document.querySelectorAll("[data-table=laps] tbody tr:not(.said) td:first-child").forEach((cell, i) => {
    const number = cell.textContent;
    cell.replaceChildren(element("button", { type: "button", className: "to-lap", "data-lap-index": i, "aria-label": "Show the channels of lap " + number }, number));
  });
  document.querySelectorAll("[data-table=kerb_strikes] tbody tr:not(.said) td:first-child").forEach(cell => {
    const number = cell.textContent;
    cell.replaceChildren(element("button", { type: "button", className: "to-strike", "data-strike-number": number, "aria-label": "Show the raw history of strike " + number }, number));
  });
}
