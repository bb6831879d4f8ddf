// Turns a lap of a channel into as many columns as the panel has room for: the lowest and the highest sample of each, so that no peak is lost.

// The three ways to lay a lap along the axis. "at" gives the place of a sample of a lap; NaN where it is not known.
const axes = {
  distance: {
    label: "Distance along the lap (m)", unit: "m", decimals: 1,
    at(lap, sample) {
      const bucket = Math.min(Math.floor(sample / figures.bucket), lap.buckets - 1);
      const first = bucket * figures.bucket;
      const last = Math.min(first + figures.bucket, lap.count - 1);
      const from = figures.knots[lap.firstKnot + bucket];
      const to = figures.knots[lap.firstKnot + bucket + 1];
      return last > first ? from + (to - from) * (sample - first) / (last - first) : from;
    },
  },
  lapTime: {
    label: "Time from the start of the lap (s)", unit: "s", decimals: 3,
    at: (lap, sample) => sample * figures.step,
  },
  runTime: {
    label: "Time of the run (s)", unit: "s", decimals: 3,
    at: (lap, sample) => figures.start + (lap.from + sample) * figures.step,
  },
};

function extentOf(axis, laps) {
  let from = Infinity, to = -Infinity;
  for (const lap of laps) {
    for (let bucket = 0; bucket <= lap.buckets; bucket++) {
      const at = axis.at(lap, Math.min(bucket * figures.bucket, lap.count - 1));
      if (at < from) from = at;
      if (at > to) to = at;
    }
  }
  return from < to ? [from, to] : [0, 1];
}

// Middles of the two halves of each column: the lowest and the highest sample stand beside each other and the line between them is upright.
function placesOf(from, to, columns) {
  const places = new Array(2 * columns);
  for (let i = 0; i < places.length; i++) places[i] = from + (i + 0.5) * (to - from) / places.length;
  return places;
}

// Two values a column, null where there is none. Says whether single samples would show more than the buckets that were drawn.
function columnsOf(channel, lap, axis, from, to, columns) {
  const low = new Float64Array(columns).fill(Infinity), high = new Float64Array(columns).fill(-Infinity);
  const perUnit = columns / (to - from);
  const put = (column, least, most) => {
    if (column < 0 || column >= columns) return;
    if (least < low[column]) low[column] = least;
    if (most > high[column]) high[column] = most;
  };
  const bucketPlace = bucket => (axis.at(lap, Math.min(bucket * figures.bucket, lap.count - 1)) - from) * perUnit;
  let wantsSamples = false;
  // The sample before, so that the line is drawn on through columns that hold no sample of their own.
  let beforePlace = NaN, beforeValue = NaN;
  for (let bucket = 0; bucket < lap.buckets; bucket++) {
    const left = bucketPlace(bucket), right = bucketPlace(bucket + 1);
    // A bucket on either side of what is shown is taken along, for the lines that cross the edges.
    const margin = Math.abs(right - left) + 1;
    if (!(right + margin >= 0 && left - margin <= columns)) {
      beforePlace = NaN;
      continue;
    }
    if (right - left > 1 && channel.codes) {
      const end = Math.min((bucket + 1) * figures.bucket, lap.count);
      for (let sample = bucket * figures.bucket; sample < end; sample++) {
        const code = channel.codes[lap.from + sample];
        const place = (axis.at(lap, sample) - from) * perUnit;
        if (code === 0 || !(place === place)) {
          beforePlace = NaN;
          continue;
        }
        const value = valueOf(channel, code);
        const column = Math.floor(place);
        put(column, value, value);
        for (let between = Math.max(0, Math.floor(beforePlace) + 1); between < Math.min(column, columns); between++) {
          const line = beforeValue + (value - beforeValue) * (between + 0.5 - beforePlace) / (place - beforePlace);
          put(between, line, line);
        }
        beforePlace = place;
        beforeValue = value;
      }
      continue;
    }
    if (right - left > 1) wantsSamples = wantsSamples || channel.hasSamples;
    const least = channel.lows[lap.firstBucket + bucket], most = channel.highs[lap.firstBucket + bucket];
    if (most === 0) continue;
    const last = Math.max(Math.floor(left), Math.ceil(right) - 1);
    for (let column = Math.max(0, Math.floor(left)); column <= Math.min(last, columns - 1); column++) put(column, valueOf(channel, least), valueOf(channel, most));
  }
  const values = new Array(2 * columns);
  for (let column = 0; column < columns; column++) {
    const isEmpty = low[column] > high[column];
    // Turn about, so that the line goes on from the end at which the column before left it.
    const rises = column % 2 === 0;
    values[2 * column] = isEmpty ? null : rises ? low[column] : high[column];
    values[2 * column + 1] = isEmpty ? null : rises ? high[column] : low[column];
  }
  return { values, wantsSamples };
}
