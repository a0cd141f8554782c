// The picture on its easel: what part of it is seen, the seam between before and after, and the hand on it.

const MOST_SCALE = 16;
const COARSE = 0.5; // dots of the screen that are drawn, each way, while a slow machine follows a drag
const clamp = (value, low, high) => Math.min(Math.max(value, low), high);

export class Easel {
  // on: { look, take, white, start, stroke, stop, redraw } - called with places as shares of width and height.
  constructor(root, on) {
    const within = (name) => root.querySelector(name);
    Object.assign(this, { root, on, scale: 1, centre: [0.5, 0.5], seam: 0.34, peeking: false, tool: "look", size: 0.09, cross: [0.5, 0.5] });
    this.frame = within("#frame");
    this.canvas = within("#picture");
    this.handle = within("#seam");
    this.ring = within("#ring");
    this.crossMark = within("#cross");
    this.fingers = new Map();
    this.canvas.addEventListener("pointerdown", (event) => this.#down(event));
    this.canvas.addEventListener("pointermove", (event) => this.#move(event));
    this.canvas.addEventListener("pointerup", (event) => this.#up(event));
    this.canvas.addEventListener("pointercancel", (event) => this.#up(event));
    this.canvas.addEventListener("pointerleave", () => this.#showRing(null));
    this.canvas.addEventListener("wheel", (event) => this.#wheel(event), { passive: false });
    this.canvas.addEventListener("keydown", (event) => this.#key(event));
    this.canvas.addEventListener("blur", () => this.#showCross(false));
    this.handle.addEventListener("pointerdown", (event) => this.#holdSeam(event));
    this.handle.addEventListener("keydown", (event) => this.#seamKey(event));
    new ResizeObserver(() => this.fit()).observe(root);
  }

  setPicture(width, height) {
    Object.assign(this, { width, height, scale: 1, centre: [0.5, 0.5] });
    this.fit();
  }

  // As wide as there is room, not higher than the window shows.
  fit() {
    if (!this.width || !this.root.clientWidth) return;
    const room = this.root.clientWidth;
    const most = innerHeight * (matchMedia("(max-width: 62rem)").matches ? 0.5 : 0.74);
    const wide = Math.min(room, (most * this.width) / this.height);
    const tall = (wide * this.height) / this.width;
    const dots = Math.min(devicePixelRatio || 1, 2) * (this.coarse ? COARSE : 1);
    this.frame.style.width = this.canvas.style.width = `${wide}px`;
    this.frame.style.height = this.canvas.style.height = `${tall}px`;
    const [width, height] = [Math.round(wide * dots), Math.round(tall * dots)];
    if (this.canvas.width !== width || this.canvas.height !== height) Object.assign(this.canvas, { width, height });
    this.#place();
  }

  setCoarse(on) {
    if (Boolean(this.coarse) === on) return;
    this.coarse = on;
    this.fit();
  }

  get view() {
    const share = 1 / this.scale;
    return [this.centre[0] - share / 2, this.centre[1] - share / 2, share, share];
  }

  get split() {
    return this.peeking ? 1 : this.seam;
  }

  #place() {
    const half = 0.5 / this.scale;
    this.centre = this.centre.map((each) => clamp(each, half, 1 - half));
    this.handle.style.left = `${100 * this.seam}%`;
    this.handle.setAttribute("aria-valuenow", Math.round(100 * this.seam));
    this.handle.setAttribute("aria-valuetext", this.seam <= 0 ? "all after" : this.seam >= 1 ? "all before" : `${Math.round(100 * this.seam)} % before, the rest after`);
    if (document.activeElement === this.canvas) this.#showCross(this.usesKeys);
    this.on.redraw();
  }

  zoom(by, at = [0.5, 0.5]) {
    const before = this.#toPicture(at);
    this.scale = clamp(this.scale * by, 1, MOST_SCALE);
    const after = this.#toPicture(at);
    this.centre = this.centre.map((each, i) => each + before[i] - after[i]);
    this.#place();
  }

  whole() {
    this.scale = 1;
    this.#place();
  }

  peek(on) {
    this.peeking = on;
    this.on.redraw();
  }

  setTool(tool, size) {
    Object.assign(this, { tool, size });
    this.root.classList.toggle("moving", tool === "move");
    this.root.classList.toggle("brushing", tool === "brush" || tool === "erase");
    this.#showRing(null);
  }

  #toPicture([x, y]) {
    const [left, top, wide, tall] = this.view;
    return [left + x * wide, top + y * tall];
  }

  #place01(event) {
    const box = this.canvas.getBoundingClientRect();
    return [(event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height];
  }

  #showRing(event) {
    const isBrush = this.tool === "brush" || this.tool === "erase";
    this.ring.setAttribute("visibility", event && isBrush && event.pointerType !== "touch" ? "visible" : "hidden");
    if (event) this.#putRing(this.#place01(event));
  }

  #putRing([x, y]) {
    const { clientWidth, clientHeight } = this.canvas;
    const radius = Math.max((this.size * Math.max(clientWidth, clientHeight) * this.scale) / 2, 1);
    for (const circle of this.ring.querySelectorAll("circle")) for (const [name, value] of Object.entries({ cx: x * clientWidth, cy: y * clientHeight, r: radius })) circle.setAttribute(name, value);
  }

  #down(event) {
    if (event.button > 1) return;
    this.usesKeys = false;
    this.#showCross(false);
    this.canvas.setPointerCapture(event.pointerId);
    this.fingers.set(event.pointerId, this.#place01(event));
    if (this.fingers.size === 2) {
      // A second finger brings the picture nearer instead; what the first began is taken back.
      if (this.drawing) this.on.stop(true);
      this.drawing = false;
      this.pinch = this.#spread();
      return;
    }
    const at = this.#toPicture(this.#place01(event));
    if (this.tool === "move" || event.button === 1) this.panning = true;
    else if (this.tool === "brush" || this.tool === "erase") {
      this.drawing = true;
      this.on.start(at);
    } else this.on[{ look: "look", alike: "take", white: "white" }[this.tool]](at);
  }

  #spread() {
    const [[ax, ay], [bx, by]] = [...this.fingers.values()];
    return { far: Math.max(Math.hypot(ax - bx, ay - by), 0.01), middle: [(ax + bx) / 2, (ay + by) / 2] };
  }

  #move(event) {
    this.#showRing(event);
    const before = this.fingers.get(event.pointerId);
    if (!before) return;
    const now = this.#place01(event);
    this.fingers.set(event.pointerId, now);
    if (this.fingers.size === 2) {
      const spread = this.#spread();
      this.centre = this.centre.map((each, i) => each - (spread.middle[i] - this.pinch.middle[i]) / this.scale);
      this.zoom(spread.far / this.pinch.far, spread.middle);
      this.pinch = spread;
    } else if (this.panning) {
      this.centre = this.centre.map((each, i) => each - (now[i] - before[i]) / this.scale);
      this.#place();
    } else if (this.drawing) {
      const points = event.getCoalescedEvents?.() ?? [];
      for (const each of points.length ? points : [event]) this.on.stroke(this.#toPicture(this.#place01(each)));
    } else if (this.tool === "look") this.on.look(this.#toPicture(now));
  }

  #up(event) {
    this.fingers.delete(event.pointerId);
    if (this.drawing) this.on.stop(event.type === "pointercancel");
    this.drawing = this.panning = false;
  }

  #wheel(event) {
    if (!event.ctrlKey && this.scale === 1 && event.deltaY > 0) return;
    event.preventDefault();
    this.zoom(2 ** (-event.deltaY / 400), this.#place01(event));
  }

  /* by keys alone: a cross is moved, Enter does what the pointer would */

  #showCross(on) {
    this.crossMark.setAttribute("visibility", on ? "visible" : "hidden");
    const isBrush = this.tool === "brush" || this.tool === "erase";
    this.ring.setAttribute("visibility", on && isBrush ? "visible" : "hidden");
    if (!on) return;
    const [left, top, wide, tall] = this.view;
    const at = [(this.cross[0] - left) / wide, (this.cross[1] - top) / tall];
    this.crossMark.setAttribute("transform", `translate(${at[0] * this.canvas.clientWidth} ${at[1] * this.canvas.clientHeight})`);
    this.#putRing(at);
  }

  #key(event) {
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const way = ways[event.key];
    if (event.key === "+" || event.key === "=") this.zoom(1.4);
    else if (event.key === "-") this.zoom(1 / 1.4);
    else if (event.key === "0") this.whole();
    else if (way && !event.ctrlKey && !event.metaKey && !event.altKey) this.#step(way, event.shiftKey);
    else if (event.key === "Enter" || event.key === " ") this.#act();
    else return;
    event.preventDefault();
  }

  #step(way, keepsBrushing) {
    this.usesKeys = true;
    const step = 0.02 / this.scale;
    const isBrush = this.tool === "brush" || this.tool === "erase";
    const from = [...this.cross];
    this.cross = this.cross.map((each, i) => clamp(each + way[i] * step, 0, 1));
    const half = 0.5 / this.scale;
    this.centre = this.centre.map((each, i) => clamp(each, this.cross[i] - half, this.cross[i] + half));
    if (this.tool === "move") this.centre = [...this.cross];
    if (isBrush && keepsBrushing) {
      this.on.start(from);
      this.on.stroke(this.cross);
      this.on.stop(false);
    }
    this.#place();
    this.#showCross(true);
  }

  #act() {
    this.usesKeys = true;
    this.#showCross(true);
    if (this.tool === "brush" || this.tool === "erase") {
      this.on.start(this.cross);
      this.on.stop(false);
    } else if (this.tool !== "move") this.on[{ look: "look", alike: "take", white: "white" }[this.tool]](this.cross);
  }

  /* the seam */

  #holdSeam(event) {
    if (event.button) return;
    event.preventDefault();
    this.handle.focus();
    this.handle.setPointerCapture(event.pointerId);
    const move = (moved) => this.setSeam(this.#place01(moved)[0]);
    this.handle.addEventListener("pointermove", move);
    this.handle.addEventListener("lostpointercapture", () => this.handle.removeEventListener("pointermove", move), { once: true });
  }

  setSeam(at) {
    this.seam = clamp(at, 0, 1);
    this.#place();
  }

  #seamKey(event) {
    const next = { ArrowLeft: this.seam - 0.02, ArrowDown: this.seam - 0.02, ArrowRight: this.seam + 0.02, ArrowUp: this.seam + 0.02, PageDown: this.seam - 0.1, PageUp: this.seam + 0.1, Home: 0, End: 1 }[event.key];
    if (next === undefined) return;
    event.preventDefault();
    this.setSeam(next);
  }
}
