// Lays films over a picture: every colour through a table from colour to colour, on the graphics chip where there is one,
// else in a worker (lay_in_worker.js). Both show the same.

import { changeNothing } from "./no_films.js";

const VERTEX = `#version 300 es
layout(location = 0) in vec2 corner;
out vec2 at;
void main() {
  at = vec2(corner.x, 1.0 - corner.y);
  gl_Position = vec4(corner * 2.0 - 1.0, 0.0, 1.0);
}`;

const FRAGMENT = `#version 300 es
precision highp float;
precision highp sampler3D;
in vec2 at;
out vec4 shown;
uniform sampler2D picture;
uniform sampler2D mask;
uniform sampler3D before;
uniform sampler3D after;
uniform sampler3D alike;
uniform vec4 view;
uniform vec4 maskView;
uniform float nodes;
uniform float split;
uniform int area;
uniform bool inverted;
uniform bool corrected;
uniform float broken;
uniform float tall;

// The same grain as lay_by_hand.js: whole numbers mixed until they look like chance, smooth between them.
float chance(ivec2 at) {
  uint n = uint(at.x) * 374761393u + uint(at.y) * 668265263u;
  n = (n ^ (n >> 13u)) * 1274126177u;
  return float((n ^ (n >> 16u)) >> 8u) / 16777216.0;
}
float grain(vec2 at) {
  ivec2 low = ivec2(floor(at));
  vec2 past = fract(at);
  past = past * past * (3.0 - 2.0 * past);
  float near = mix(chance(low), chance(low + ivec2(1, 0)), past.x);
  float far = mix(chance(low + ivec2(0, 1)), chance(low + ivec2(1, 1)), past.x);
  return mix(near, far, past.y);
}
// How far the hairs of a dragged brush leave paint at a place: long along its way, narrow across.
float hairs(vec2 at) {
  vec2 way = vec2(at.x * 0.92 + at.y * 0.39, at.y * 0.92 - at.x * 0.39);
  return 0.6 * grain(way * vec2(26.0, 360.0)) + 0.4 * grain(way * vec2(70.0, 900.0) + 31.0);
}

void main() {
  vec2 place = view.xy + at * view.zw;
  vec3 seen = texture(picture, place).rgb;
  vec3 node = seen * ((nodes - 1.0) / nodes) + 0.5 / nodes;
  vec3 bare = corrected ? texture(before, node).rgb : seen;
  float share = 1.0;
  if (area == 1) share = texture(mask, maskView.xy + at * maskView.zw).a;
  if (area == 2) share = texture(alike, node).r;
  if (inverted) share = 1.0 - share;
  if (broken > 0.0) {
    vec2 spot = maskView.xy + at * maskView.zw;
    share *= smoothstep(broken - 0.06, broken + 0.06, hairs(vec2(spot.x, spot.y * tall)));
  }
  if (at.x < split) share = 0.0;
  vec3 laid = texture(after, node).rgb;
  // Half covered is a mixture of light, not of screen values: near enough with squares.
  if (share <= 0.0) laid = bare;
  else if (share < 1.0) laid = sqrt(mix(bare * bare, laid * laid, share));
  shown = vec4(laid, 1.0);
}`;

export const AREAS = { whole: 0, brush: 1, alike: 2 };

function compile(gl) {
  const program = gl.createProgram();
  for (const [kind, text] of [[gl.VERTEX_SHADER, VERTEX], [gl.FRAGMENT_SHADER, FRAGMENT]]) {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, text);
    gl.compileShader(shader);
    gl.attachShader(program, shader);
  }
  gl.linkProgram(program);
  if (!gl.getProgramParameter(program, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(program));
  gl.useProgram(program);
  return program;
}

export class ChipLayer {
  constructor(canvas, nodes) {
    const gl = canvas.getContext("webgl2", { alpha: false, antialias: false, preserveDrawingBuffer: true });
    if (!gl) throw new Error("no WebGL2");
    Object.assign(this, { canvas, gl, nodes, corrected: false, pictureAt: [0, 0, 1, 1] });
    const program = compile(gl);
    this.at = (name) => gl.getUniformLocation(program, name);
    const buffer = gl.createBuffer();
    gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
    gl.bufferData(gl.ARRAY_BUFFER, new Float32Array([0, 0, 1, 0, 0, 1, 1, 1]), gl.STATIC_DRAW);
    gl.enableVertexAttribArray(0);
    gl.vertexAttribPointer(0, 2, gl.FLOAT, false, 0, 0);
    gl.pixelStorei(gl.UNPACK_ALIGNMENT, 1);
    this.textures = {};
    const kinds = { picture: gl.TEXTURE_2D, mask: gl.TEXTURE_2D, before: gl.TEXTURE_3D, after: gl.TEXTURE_3D, alike: gl.TEXTURE_3D };
    Object.entries(kinds).forEach(([name, kind], unit) => {
      const texture = gl.createTexture();
      gl.activeTexture(gl.TEXTURE0 + unit);
      gl.bindTexture(kind, texture);
      for (const side of [gl.TEXTURE_WRAP_S, gl.TEXTURE_WRAP_T, gl.TEXTURE_WRAP_R]) gl.texParameteri(kind, side, gl.CLAMP_TO_EDGE);
      gl.texParameteri(kind, gl.TEXTURE_MIN_FILTER, name === "picture" ? gl.LINEAR_MIPMAP_LINEAR : gl.LINEAR);
      gl.texParameteri(kind, gl.TEXTURE_MAG_FILTER, gl.LINEAR);
      gl.uniform1i(this.at(name), unit);
      this.textures[name] = { kind, unit };
    });
    gl.uniform1f(this.at("nodes"), nodes);
    changeNothing(this);
  }

  get mostPixels() {
    return this.gl.getParameter(this.gl.MAX_TEXTURE_SIZE);
  }

  #bind(name) {
    const { kind, unit } = this.textures[name];
    this.gl.activeTexture(this.gl.TEXTURE0 + unit);
    return kind;
  }

  setPicture(picture) {
    const { gl } = this;
    gl.texImage2D(this.#bind("picture"), 0, gl.RGBA8, gl.RGBA, gl.UNSIGNED_BYTE, picture);
    gl.generateMipmap(gl.TEXTURE_2D);
  }

  setTable(name, table) {
    const { gl, nodes } = this;
    gl.texImage3D(this.#bind(name), 0, gl.RGB16F, nodes, nodes, nodes, 0, gl.RGB, gl.HALF_FLOAT, table);
  }

  setAlike(weights) {
    const { gl, nodes } = this;
    gl.texImage3D(this.#bind("alike"), 0, gl.R8, nodes, nodes, nodes, 0, gl.RED, gl.UNSIGNED_BYTE, weights);
  }

  setMask(alpha, width, height) {
    const { gl } = this;
    gl.texImage2D(this.#bind("mask"), 0, gl.ALPHA, width, height, 0, gl.ALPHA, gl.UNSIGNED_BYTE, alpha);
  }

  setMaskPart(alpha, x, y, width, height) {
    const { gl } = this;
    gl.texSubImage2D(this.#bind("mask"), 0, x, y, width, height, gl.ALPHA, gl.UNSIGNED_BYTE, alpha);
  }

  // view: the part of the picture's texture that fills the canvas; maskView: the same of the whole picture.
  draw({ view, maskView = view, split = 0, area = AREAS.whole, inverted = false, corrected = false, broken = 0, tall = 1 }) {
    const { gl, canvas } = this;
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.uniform4fv(this.at("view"), view);
    gl.uniform4fv(this.at("maskView"), maskView);
    gl.uniform1f(this.at("split"), split);
    gl.uniform1i(this.at("area"), area);
    gl.uniform1i(this.at("inverted"), inverted ? 1 : 0);
    gl.uniform1i(this.at("corrected"), corrected ? 1 : 0);
    gl.uniform1f(this.at("broken"), broken);
    gl.uniform1f(this.at("tall"), tall);
    gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
    return Promise.resolve();
  }

  // When everything asked for so far is drawn.
  async settled() {
    const { gl } = this;
    const done = gl.fenceSync(gl.SYNC_GPU_COMMANDS_COMPLETE, 0);
    gl.flush();
    while (gl.clientWaitSync(done, 0, 0) === gl.TIMEOUT_EXPIRED) await new Promise((next) => setTimeout(next, 2));
    gl.deleteSync(done);
  }

  // What was drawn, fetched without making the chip wait.
  async pixels() {
    const { gl, canvas } = this;
    const { width, height } = canvas;
    const store = gl.createBuffer();
    gl.bindBuffer(gl.PIXEL_PACK_BUFFER, store);
    gl.bufferData(gl.PIXEL_PACK_BUFFER, 4 * width * height, gl.STREAM_READ);
    gl.readPixels(0, 0, width, height, gl.RGBA, gl.UNSIGNED_BYTE, 0);
    await this.settled();
    const upsideDown = new Uint8ClampedArray(4 * width * height);
    gl.getBufferSubData(gl.PIXEL_PACK_BUFFER, 0, upsideDown);
    gl.bindBuffer(gl.PIXEL_PACK_BUFFER, null);
    gl.deleteBuffer(store);
    const pixels = new ImageData(width, height);
    for (let y = 0; y < height; y++) pixels.data.set(upsideDown.subarray(4 * width * y, 4 * width * (y + 1)), 4 * width * (height - 1 - y));
    return pixels;
  }

  close() {
    this.gl.getExtension("WEBGL_lose_context")?.loseContext();
  }
}


export async function openLayer(canvas, nodes) {
  try {
    return new ChipLayer(canvas, nodes);
  } catch {
    const { WorkerLayer } = await import("./lay_in_worker.js");
    return new WorkerLayer(canvas, nodes);
  }
}

/* the whole picture as a file, piece by piece, so that its size does not matter */

const PIECE = 2048;

export async function layWhole(picture, nodes, { tables, alike, mask, how, progress }) {
  const whole = document.createElement("canvas");
  Object.assign(whole, { width: picture.width, height: picture.height });
  const paper = whole.getContext("2d", { willReadFrequently: true });
  const piece = document.createElement("canvas");
  const layer = await openLayer(piece, nodes);
  for (const [name, table] of Object.entries(tables)) layer.setTable(name, table);
  if (alike) layer.setAlike(alike);
  layer.setMask(mask.alpha, mask.width, mask.height);
  const columns = Math.ceil(picture.width / PIECE);
  const rows = Math.ceil(picture.height / PIECE);
  for (let at = 0; at < columns * rows; at++) {
    const x = (at % columns) * PIECE;
    const y = Math.floor(at / columns) * PIECE;
    const width = Math.min(PIECE, picture.width - x);
    const height = Math.min(PIECE, picture.height - y);
    Object.assign(piece, { width, height });
    const part = await createImageBitmap(picture, x, y, width, height, { premultiplyAlpha: "none", colorSpaceConversion: "none" });
    layer.setPicture(part);
    const maskView = [x / picture.width, y / picture.height, width / picture.width, height / picture.height];
    await layer.draw({ ...how, view: [0, 0, 1, 1], maskView, split: 0 });
    paper.putImageData(await layer.pixels(), x, y);
    part.close();
    progress?.((at + 1) / (columns * rows));
  }
  layer.close();
  return whole;
}
