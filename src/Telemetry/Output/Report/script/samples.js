// What the page holds of the log, and how it is unpacked. README.md beside the C# that packs it gives the format.

const figures = JSON.parse(document.getElementById("figures").textContent);

function bytesOf(base64) {
  if (Uint8Array.fromBase64) return Uint8Array.fromBase64(base64);
  const text = atob(base64);
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < bytes.length; i++) bytes[i] = text.charCodeAt(i);
  return bytes;
}

figures.knots = figures.knots ? new Float32Array(bytesOf(figures.knots).buffer) : null;
for (const channel of figures.channels) {
  channel.lows = new Uint16Array(bytesOf(channel.lows).buffer);
  channel.highs = new Uint16Array(bytesOf(channel.highs).buffer);
  channel.codes = null;
}

// Buckets begin anew with each lap, and each lap has one knot of distance more than it has buckets.
// The fastest lap and the hardest are compared first, so they have the two signs that differ most.
const ranked = [...new Set([figures.fastest, figures.hardest, ...figures.laps.keys()])].filter(index => index >= 0);
let bucketsSoFar = 0;
figures.laps.forEach((lap, i) => {
  lap.index = i;
  lap.sign = ranked.indexOf(i) % 7;
  lap.count = lap.to - lap.from;
  lap.buckets = Math.ceil(lap.count / figures.bucket);
  lap.firstBucket = bucketsSoFar;
  lap.firstKnot = bucketsSoFar + i;
  bucketsSoFar += lap.buckets;
});

// Code 0 is a gap.
const valueOf = (channel, code) => channel.low + (code - 1) * channel.stepOf;

// Decodes every sample of a channel once; the promise is kept so that two who ask wait for the same work.
function decode(index) {
  const channel = figures.channels[index];
  if (!channel.hasSamples) return Promise.resolve();
  channel.decoding ??= (async () => {
    if (document.readyState === "loading") await new Promise(done => document.addEventListener("DOMContentLoaded", done));
    const holder = document.getElementById("samples-" + index);
    const packed = new Blob([bytesOf(holder.textContent)]);
    holder.remove();
    const bytes = new Uint8Array(await new Response(packed.stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer());
    const count = bytes.length / 2;
    const codes = new Uint16Array(count);
    let code = 0;
    for (let i = 0; i < count; i++) {
      const folded = bytes[i] | (bytes[count + i] << 8);
      code = (code + ((folded >> 1) ^ -(folded & 1))) & 0xffff;
      codes[i] = code;
    }
    channel.codes = codes;
  })();
  return channel.decoding;
}

// Unpacks all channels one by one while nobody asks for anything, those that are open first, so that the first zoom need not wait for it.
async function decodeAhead(first) {
  const idle = () => new Promise(done => "requestIdleCallback" in window ? requestIdleCallback(done, { timeout: 500 }) : setTimeout(done, 20));
  const order = [...new Set([...first, ...figures.channels.keys()])];
  for (const index of order) {
    await idle();
    await decode(index);
  }
  document.body.dataset.unpacked = "yes";
}
