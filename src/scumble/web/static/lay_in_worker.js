// Lays films over a picture where there is no graphics chip: the same as lay.js, in a worker.

import { changeNothing } from "./no_films.js";

export class WorkerLayer {
  constructor(canvas, nodes) {
    Object.assign(this, { canvas, nodes, mostPixels: 4096, answers: new Map(), asked: 0 });
    this.context = canvas.getContext("2d", { willReadFrequently: true });
    this.worker = new Worker("/static/lay_by_hand.js", { type: "module" });
    this.worker.addEventListener("message", ({ data }) => {
      this.answers.get(data.asked)?.(data.pixels);
      this.answers.delete(data.asked);
    });
    this.worker.postMessage({ nodes });
    changeNothing(this);
  }

  setPicture(picture) {
    this.picture = picture;
  }

  setTable(name, table) {
    this.worker.postMessage({ name, table });
  }

  setAlike(weights) {
    this.worker.postMessage({ name: "alike", table: weights });
  }

  setMask(alpha, width, height) {
    this.mask = { alpha, width, height };
  }

  setMaskPart(alpha, x, y, width, height) {
    for (let row = 0; row < height; row++) this.mask.alpha.set(alpha.subarray(row * width, (row + 1) * width), (y + row) * this.mask.width + x);
  }

  async draw({ view, maskView = view, split = 0, area = 0, inverted = false, corrected = false, broken = 0, tall = 1 }) {
    const { width, height } = this.canvas;
    const asked = ++this.asked;
    const { width: wide, height: high } = this.picture;
    const copy = new OffscreenCanvas(width, height).getContext("2d");
    copy.drawImage(this.picture, view[0] * wide, view[1] * high, view[2] * wide, view[3] * high, 0, 0, width, height);
    const { data: pixels } = copy.getImageData(0, 0, width, height);
    const mask = area === 1 ? this.mask : null;
    const answer = new Promise((done) => this.answers.set(asked, done));
    this.worker.postMessage({ asked, pixels, width, height, mask, maskView, split, area, inverted, corrected, broken, tall }, [pixels.buffer]);
    const laid = await answer;
    if (asked === this.asked) this.context.putImageData(new ImageData(laid, width, height), 0, 0);
  }

  async pixels() {
    return this.context.getImageData(0, 0, this.canvas.width, this.canvas.height);
  }

  close() {
    this.worker.terminate();
  }
}
