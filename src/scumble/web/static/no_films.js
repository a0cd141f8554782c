// Tables of a layer before any others have come.

// Until other tables come: every colour stays what it is, no colour is left out, nothing is brushed.
export function changeNothing(layer) {
  const { nodes } = layer;
  const same = new Uint16Array(3 * nodes ** 3);
  for (let node = 0; node < nodes ** 3; node++) for (let i = 0; i < 3; i++) same[3 * node + i] = toHalf((Math.floor(node / nodes ** i) % nodes) / (nodes - 1));
  layer.setTable("before", same);
  layer.setTable("after", same);
  layer.setAlike(new Uint8Array(nodes ** 3).fill(255));
  layer.setMask(new Uint8Array([0]), 1, 1);
}

function toHalf(value) {
  if (value === 0) return 0;
  // Exact enough for numbers from 2^-14 to 1; half floats hold no finer step.
  const exponent = Math.max(Math.floor(Math.log2(value)), -14);
  const step = 2 ** (exponent - 10);
  const steps = Math.round(value / step);
  return steps >= 2048 ? (exponent + 16) << 10 : ((exponent + 15) << 10) + (steps - 1024);
}
