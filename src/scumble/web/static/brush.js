// What was brushed on a picture: strokes as data, and the mask they make. Places are shares of width and height,
// sizes shares of the longer side, so that the same strokes fit any size of the picture.

const LONGEST = 2048;

export class Brushed {
  constructor(width, height) {
    const scale = Math.min(1, LONGEST / Math.max(width, height));
    this.width = Math.max(1, Math.round(width * scale));
    this.height = Math.max(1, Math.round(height * scale));
    this.paper = new OffscreenCanvas(this.width, this.height).getContext("2d", { willReadFrequently: true });
    this.dirty = null;
  }

  #touch(x, y, radius) {
    const left = Math.max(Math.floor(x - radius) - 1, 0);
    const top = Math.max(Math.floor(y - radius) - 1, 0);
    const right = Math.min(Math.ceil(x + radius) + 1, this.width);
    const bottom = Math.min(Math.ceil(y + radius) + 1, this.height);
    if (right <= left || bottom <= top) return;
    const before = this.dirty ?? [left, top, right, bottom];
    this.dirty = [Math.min(before[0], left), Math.min(before[1], top), Math.max(before[2], right), Math.max(before[3], bottom)];
  }

  #press(x, y, { size, soft, erase }) {
    const radius = Math.max((size * Math.max(this.width, this.height)) / 2, 0.5);
    const { paper } = this;
    const fade = paper.createRadialGradient(x, y, radius * (1 - soft), x, y, radius);
    fade.addColorStop(0, "#000f");
    fade.addColorStop(1, "#0000");
    paper.globalCompositeOperation = erase ? "destination-out" : "source-over";
    paper.fillStyle = soft > 0.01 ? fade : "#000";
    paper.beginPath();
    paper.arc(x, y, radius, 0, 2 * Math.PI);
    paper.fill();
    this.#touch(x, y, radius);
  }

  // From the last point of a stroke so far to the next one; the dabs lie close enough to make one band.
  add(stroke, [u, v]) {
    const [x, y] = [u * this.width, v * this.height];
    const last = stroke.points.at(-1);
    stroke.points.push([u, v]);
    if (!last) return this.#press(x, y, stroke);
    const [fromX, fromY] = [last[0] * this.width, last[1] * this.height];
    const step = Math.max(stroke.size * Math.max(this.width, this.height) * 0.12, 1);
    const steps = Math.ceil(Math.hypot(x - fromX, y - fromY) / step);
    for (let at = 1; at <= steps; at++) this.#press(fromX + ((x - fromX) * at) / steps, fromY + ((y - fromY) * at) / steps, stroke);
  }

  repaint(strokes) {
    this.paper.clearRect(0, 0, this.width, this.height);
    for (const stroke of strokes) {
      const again = { ...stroke, points: [] };
      for (const point of stroke.points) this.add(again, point);
    }
    this.dirty = [0, 0, this.width, this.height];
  }

  // What changed since it was last taken: alpha and where it belongs.
  take() {
    if (!this.dirty) return null;
    const [left, top, right, bottom] = this.dirty;
    this.dirty = null;
    return { alpha: this.#alpha(left, top, right - left, bottom - top), x: left, y: top, width: right - left, height: bottom - top };
  }

  whole() {
    return { alpha: this.#alpha(0, 0, this.width, this.height), width: this.width, height: this.height };
  }

  #alpha(x, y, width, height) {
    const { data } = this.paper.getImageData(x, y, width, height);
    const alpha = new Uint8Array(width * height);
    for (let i = 0; i < alpha.length; i++) alpha[i] = data[4 * i + 3];
    return alpha;
  }
}

/* one colour and its like */

// Lightness, green-red and blue-yellow of a screen colour 0-1: Oklab, Ottosson (2020).
function opponent(rgb) {
  const [r, g, b] = rgb.map((value) => (value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4));
  const l = Math.cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
  const m = Math.cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
  const s = Math.cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
  return [0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s, 1.9779984951 * l - 2.428592205 * m + 0.4505937099 * s, 0.0259040371 * l + 0.7827717662 * m - 0.808675766 * s];
}

const LIGHTNESS = 0.6; // a shadow of a colour counts as nearer than another hue

// How far each node of the table counts as like a colour, 0 to 255, within a reach and a soft edge around it.
export function alikeTable(nodes, colour, { reach, soft }) {
  const wanted = opponent(colour);
  const weights = new Uint8Array(nodes ** 3);
  const top = nodes - 1;
  for (let i = 0; i < weights.length; i++) {
    const seen = opponent([i % nodes, Math.floor(i / nodes) % nodes, Math.floor(i / nodes ** 2)].map((step) => step / top));
    const far = Math.hypot(LIGHTNESS * (seen[0] - wanted[0]), seen[1] - wanted[1], seen[2] - wanted[2]);
    const past = Math.min(Math.max((far - reach) / Math.max(soft, 1e-3), 0), 1);
    weights[i] = Math.round(255 * (1 - past * past * (3 - 2 * past)));
  }
  return weights;
}
