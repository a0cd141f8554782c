// A grisaille to try films on: a jug, two pears and a cloth, painted in greys with a bristle brush. The same each time.

const [WIDTH, HEIGHT] = [1440, 1080];

const clamp = (value, low = 0, high = 1) => Math.min(Math.max(value, low), high);
const ease = (share) => share * share * (3 - 2 * share);
const step = (from, to, value) => ease(clamp((value - from) / (to - from)));

// Even noise from -1 to 1, one value a square, smooth between them.
function noise(x, y) {
  const corner = (i, j) => {
    let n = Math.imul(i, 374761393) + Math.imul(j, 668265263);
    n = Math.imul(n ^ (n >>> 13), 1274126177);
    return ((n ^ (n >>> 16)) >>> 0) / 2 ** 31 - 1;
  };
  const [i, j] = [Math.floor(x), Math.floor(y)];
  const [f, g] = [ease(x - i), ease(y - j)];
  return (corner(i, j) * (1 - f) + corner(i + 1, j) * f) * (1 - g) + (corner(i, j + 1) * (1 - f) + corner(i + 1, j + 1) * f) * g;
}

// Light from the upper left on a form whose face leans by a and b; depth is how much of it looks at the eye.
function lit(a, b, depth) {
  const light = clamp(0.62 * depth - 0.52 * a - 0.5 * b);
  const thrownBack = 0.09 * (1 - depth) ** 2 * (a > 0 ? 1 : 0);
  return 0.05 + 0.62 * light + thrownBack + 0.35 * step(0.93, 0.995, 0.72 * depth - 0.5 * a - 0.48 * b);
}


function pear(u, v, x, y, size) {
  const [a, b] = [(u - x) / size, (v - y) / size];
  if (Math.abs(a - 0.12 * (b + 0.9)) < 0.03 && b < -0.98 && b > -1.3) return 0.05;
  const wide = 0.66 * Math.sqrt(clamp(1 - (b / 0.72) ** 2)) * (b > 0 ? 1 : 1 - 0.22 * step(0, -0.6, b));
  const neck = 0.29 * Math.sqrt(clamp(1 - ((b + 0.55) / 0.5) ** 2));
  const half = Math.max(wide, neck, 0.3 * step(0.1, -0.2, b) * step(-1.04, -0.6, b));
  if (half <= 0.02 || Math.abs(a) > half) return null;
  const across = a / half;
  return lit(across * 0.95, clamp((b + 0.2) * 0.62, -0.8, 0.8), Math.sqrt(clamp(1 - 0.9 * across ** 2)));
}

const PROFILE = [[-0.31, 0.092], [-0.285, 0.082], [-0.22, 0.062], [-0.15, 0.075], [0.02, 0.142], [0.12, 0.148], [0.24, 0.11], [0.3, 0.088]];

function halfWidth(b) {
  const after = PROFILE.findIndex(([at]) => at > b);
  if (after < 1) return 0;
  const [[from, left], [to, right]] = [PROFILE[after - 1], PROFILE[after]];
  return left + (right - left) * ease((b - from) / (to - from));
}

function jug(u, v) {
  const [a, b] = [(u - 0.54) * 1.333, v - 0.44];
  const half = halfWidth(b);
  if (half > 0 && Math.abs(a) < half) {
    const across = a / half;
    if (b < -0.285 && (across / 0.92) ** 2 + ((b + 0.297) / 0.011) ** 2 < 1) return 0.03 + 0.12 * clamp(0.5 + across);
    return lit(across * 0.98, clamp((b - 0.05) * 0.9, -0.4, 0.4), Math.sqrt(1 - across ** 2));
  }
  const handle = Math.hypot((a - 0.1) / 0.105, (b + 0.115) / 0.15);
  if (a > 0.07 && Math.abs(handle - 1) < 0.13) return lit((handle - 1) * 5, -0.2 + b, 0.6 * Math.sqrt(1 - ((handle - 1) / 0.13) ** 2));
  return null;
}

const SHADOWS = [[0.42, 0.85, 0.19, 0.034], [0.86, 0.9, 0.16, 0.03], [0.7, 0.755, 0.24, 0.04]];

function scene(u, v) {
  for (const form of [pear(u, v, 0.31, 0.735, 0.15), pear(u, v, 0.745, 0.8, 0.125), jug(u, v)]) if (form !== null) return form;
  const edge = 0.69 + 0.012 * Math.sin(u * 5 + 0.8);
  if (v < edge) return 0.2 - 0.12 * u + 0.07 * (1 - v) + 0.03 * Math.sin(u * 3.1 + v * 4.7);
  const folds = Math.sin(u * 15 + 4 * Math.sin(v * 5 + u * 2.2)) * clamp((v - edge) * 5);
  const dark = Math.max(...SHADOWS.map(([x, y, wide, tall]) => 1 - step(0.25, 1.15, Math.hypot((u - x) / wide, (v - y) / tall))));
  return (0.6 - 0.2 * u + 0.08 * folds) * (1 - 0.78 * dark) * (1 - 0.35 * step(0.03, 0, v - edge));
}

// A brush leaves its edges loose and its hairs visible; both run along slowly turning directions.
function painted(u, v) {
  const turn = 0.75 + 0.4 * noise(u * 2.1, v * 2.1) - 0.6 * step(0.6, 0.82, v);
  const [along, across] = [u * Math.cos(turn) + v * Math.sin(turn), v * Math.cos(turn) - u * Math.sin(turn)];
  const loose = 0.0024;
  const tone = scene(u + loose * noise(u * 160, v * 160), v + loose * noise(u * 160 + 50, v * 160));
  const hairs = noise(across * 430, along * 24) + 0.6 * noise(across * 210 + 9, along * 16);
  return tone * (1 + 0.075 * hairs) + 0.004 * hairs;
}

export function paintGrisaille() {
  const canvas = new OffscreenCanvas(WIDTH, HEIGHT);
  const paper = canvas.getContext("2d");
  const picture = paper.createImageData(WIDTH, HEIGHT);
  for (let y = 0, at = 0; y < HEIGHT; y++) {
    for (let x = 0; x < WIDTH; x++, at += 4) {
      const light = clamp(painted(x / WIDTH, y / HEIGHT));
      picture.data.fill(Math.round(255 * (light < 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055)), at, at + 3);
      picture.data[at + 3] = 255;
    }
  }
  paper.putImageData(picture, 0, 0);
  return canvas.convertToBlob({ type: "image/jpeg", quality: 0.92 });
}
