// One picture's colours through a table, in plain JavaScript: runs as a worker where there is no graphics chip.

// Half floats of a table as numbers from 0 to 1.
export function unpack(halves) {
  const numbers = new Float32Array(halves.length);
  for (let i = 0; i < halves.length; i++) {
    const exponent = (halves[i] >> 10) & 31;
    const fraction = halves[i] & 1023;
    numbers[i] = exponent === 0 ? fraction * 2 ** -24 : (1024 + fraction) * 2 ** (exponent - 25);
  }
  return numbers;
}

// Between the eight nodes around a colour; writes `width` numbers.
export function lookUp(table, nodes, width, red, green, blue, out) {
  const top = nodes - 1;
  const r = Math.min(Math.floor(red * top), top - 1);
  const g = Math.min(Math.floor(green * top), top - 1);
  const b = Math.min(Math.floor(blue * top), top - 1);
  const [fr, fg, fb] = [red * top - r, green * top - g, blue * top - b];
  const across = width;
  const down = width * nodes;
  const deep = down * nodes;
  const at = b * deep + g * down + r * across;
  for (let i = 0; i < width; i++) {
    const k = at + i;
    const near = (table[k] * (1 - fr) + table[k + across] * fr) * (1 - fg) + (table[k + down] * (1 - fr) + table[k + down + across] * fr) * fg;
    const far = (table[k + deep] * (1 - fr) + table[k + deep + across] * fr) * (1 - fg) + (table[k + deep + down] * (1 - fr) + table[k + deep + down + across] * fr) * fg;
    out[i] = near * (1 - fb) + far * fb;
  }
}

// Half covered is a mixture of light: near enough with squares of screen values.
export function mix(bare, laid, share) {
  if (share <= 0) return bare;
  return share >= 1 ? laid : Math.sqrt(bare * bare * (1 - share) + laid * laid * share);
}

function maskAt({ alpha, width, height }, u, v) {
  const x = Math.min(Math.max(u * width - 0.5, 0), width - 1.001);
  const y = Math.min(Math.max(v * height - 0.5, 0), height - 1.001);
  const i = Math.floor(x);
  const j = Math.floor(y);
  const at = (a, b) => alpha[Math.min(b, height - 1) * width + Math.min(a, width - 1)];
  return (((at(i, j) * (1 - x + i) + at(i + 1, j) * (x - i)) * (1 - y + j) + (at(i, j + 1) * (1 - x + i) + at(i + 1, j + 1) * (x - i)) * (y - j)) / 255);
}

// The same grain as in lay.js: whole numbers mixed until they look like chance, smooth between them.
function chance(i, j) {
  let n = Math.imul(i, 374761393) + Math.imul(j, 668265263);
  n = Math.imul(n ^ (n >>> 13), 1274126177);
  return ((n ^ (n >>> 16)) >>> 8) / 16777216;
}

function grain(x, y) {
  const [i, j] = [Math.floor(x), Math.floor(y)];
  let [f, g] = [x - i, y - j];
  f *= f * (3 - 2 * f);
  g *= g * (3 - 2 * g);
  return (chance(i, j) * (1 - f) + chance(i + 1, j) * f) * (1 - g) + (chance(i, j + 1) * (1 - f) + chance(i + 1, j + 1) * f) * g;
}

// How far the hairs of a dragged brush leave paint at a place: long along its way, narrow across.
export function hairs(x, y) {
  const [along, across] = [x * 0.92 + y * 0.39, y * 0.92 - x * 0.39];
  return 0.6 * grain(along * 26, across * 360) + 0.4 * grain(along * 70 + 31, across * 900 + 31);
}

function touched(broken, x, y) {
  const past = Math.min(Math.max((hairs(x, y) - broken + 0.06) / 0.12, 0), 1);
  return past * past * (3 - 2 * past);
}

const known = { nodes: 0 };

function lay({ pixels, width, height, mask, maskView, split, area, inverted, corrected, broken, tall }) {
  const { nodes, before, after, alike } = known;
  const [bare, laid, weight] = [[0, 0, 0], [0, 0, 0], [1]];
  for (let y = 0, k = 0; y < height; y++) {
    for (let x = 0; x < width; x++, k += 4) {
      const seen = [pixels[k] / 255, pixels[k + 1] / 255, pixels[k + 2] / 255];
      if (corrected) lookUp(before, nodes, 3, ...seen, bare);
      else [bare[0], bare[1], bare[2]] = seen;
      let share = 1;
      if (area === 1) share = maskAt(mask, maskView[0] + ((x + 0.5) / width) * maskView[2], maskView[1] + ((y + 0.5) / height) * maskView[3]);
      if (area === 2) {
        lookUp(alike, nodes, 1, ...seen, weight);
        share = weight[0] / 255;
      }
      if (inverted) share = 1 - share;
      if (broken > 0) share *= touched(broken, maskView[0] + ((x + 0.5) / width) * maskView[2], (maskView[1] + ((y + 0.5) / height) * maskView[3]) * tall);
      if ((x + 0.5) / width < split) share = 0;
      if (share > 0) lookUp(after, nodes, 3, ...seen, laid);
      for (let i = 0; i < 3; i++) pixels[k + i] = Math.round(255 * mix(bare[i], laid[i], share));
    }
  }
  return pixels;
}

if (typeof WorkerGlobalScope !== "undefined") {
  addEventListener("message", ({ data }) => {
    if (data.nodes) known.nodes = data.nodes;
    else if (data.name) known[data.name] = data.name === "alike" ? data.table : unpack(data.table);
    else postMessage({ asked: data.asked, pixels: lay(data) });
  });
}
