// Draws boxes over a picture by mouse, pen, finger or keys, and says what lies in each.

import { isTouched } from "/static/already.js";

const room = document.querySelector("#marking");
const svg = document.querySelector("#picture");
const drawn = document.querySelector("#drawn");
const list = document.querySelector("#boxes");
const wrong = document.querySelector("#wrong");
const told = document.querySelector("#told");
const [WIDTH, HEIGHT] = [Number(room.dataset.width), Number(room.dataset.height)];
const LEAST = Math.max(10, Math.round(Math.max(WIDTH, HEIGHT) / 150));
const WHATS = [["bare", "nothing: bare"], ["masstone", "full strength"], ["thin", "a thin film"], ["tint", "mixed with white"]];

const given = JSON.parse(room.dataset.marks);
let boxes = given.boxes;
let chosen = boxes.length ? 0 : -1;
const before = [];

const keep = () => { before.push(JSON.stringify([boxes, chosen])); if (before.length > 100) before.shift(); };
const clone = (box) => JSON.parse(JSON.stringify(box));
const limit = (value, low, high) => Math.min(Math.max(value, low), high);

function fit(box) {
  let [x, y, width, height] = box.box_px.map(Math.round);
  width = limit(width, LEAST, WIDTH);
  height = limit(height, LEAST, HEIGHT);
  box.box_px = [limit(x, 0, WIDTH - width), limit(y, 0, HEIGHT - height), width, height];
}

// What the next box most likely is: paper first, then paint.
function next(box_px) {
  const last = boxes[chosen] ?? boxes.at(-1);
  const paper = boxes.some((box) => box.what === "bare" && box.over === "white");
  const box = paper ? { box_px, what: last?.what === "bare" ? "masstone" : (last?.what ?? "masstone"), over: last?.over ?? "white" } : { box_px, what: "bare", over: "white" };
  if (box.what === "tint") box.white_parts = last?.white_parts ?? 1;
  if (box.what === "thin") box.stroke = last?.stroke ?? "thin";
  return box;
}

function place(words) {
  const at = svg.createSVGPoint();
  [at.x, at.y] = [words.clientX, words.clientY];
  const there = at.matrixTransform(svg.getScreenCTM().inverse());
  return [limit(there.x, 0, WIDTH), limit(there.y, 0, HEIGHT)];
}

function make(tag, attributes, parent) {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  parent.append(element);
  return element;
}

function draw() {
  drawn.replaceChildren();
  const unit = 1 / (svg.getScreenCTM()?.a || 1);
  boxes.forEach((box, at) => {
    const [x, y, width, height] = box.box_px;
    const group = make("g", { class: `${box.what === "bare" ? "bare" : "painted"}${at === chosen ? " chosen" : ""}`, "data-at": at }, drawn);
    make("rect", { class: "body", x, y, width, height }, group);
    make("text", { x: x + width / 2, y: y + height / 2, "font-size": 18 * unit }, group).textContent = at + 1;
    if (at === chosen) make("rect", { class: "grip", x: x + width - 11 * unit, y: y + height - 11 * unit, width: 22 * unit, height: 22 * unit }, group);
  });
  document.querySelector("#undo").disabled = !before.length;
  document.querySelector("#repeat").disabled = chosen < 0;
  document.querySelector("#none").hidden = boxes.length > 0;
}

function field(label, input) {
  const whole = document.createElement("label");
  whole.append(label, input);
  return whole;
}

function select(options, value, said) {
  const made = document.createElement("select");
  for (const [name, words] of options) made.add(new Option(words, name, false, name === value));
  made.setAttribute("aria-label", said);
  return made;
}

function fieldsOf(box, at) {
  const item = document.createElement("li");
  item.dataset.at = at;
  item.className = at === chosen ? "chosen" : "";
  const number = document.createElement("b");
  number.textContent = at + 1;
  const what = select(WHATS, box.what, `What lies in box ${at + 1}`);
  what.id = `what-${at}`;
  what.addEventListener("change", () => {
    keep();
    box.what = what.value;
    delete box.white_parts;
    delete box.stroke;
    if (box.what === "tint") box.white_parts = 1;
    if (box.what === "thin") box.stroke = "thin";
    showAll(what.id);
  });
  const over = document.createElement("input");
  over.value = box.over;
  over.maxLength = 60;
  over.id = `over-${at}`;
  over.setAttribute("list", "grounds");
  over.addEventListener("change", () => { keep(); box.over = over.value.trim() || "white"; offerGrounds(); draw(); });
  const off = document.createElement("button");
  off.type = "button";
  off.textContent = "×";
  off.setAttribute("aria-label", `Take off box ${at + 1}`);
  off.addEventListener("click", () => remove(at));
  const more = document.createElement("div");
  more.className = "more";
  more.append(field(box.what === "bare" ? "which ground" : "over", over));
  item.append(number, what, off, more);
  if (box.what === "tint" || box.what === "thin") {
    const input = document.createElement("input");
    input.id = `more-${at}`;
    if (box.what === "tint") {
      input.inputMode = "decimal";
      input.value = box.white_parts ?? 1;
      input.addEventListener("change", () => { keep(); box.white_parts = Number(input.value.replace(",", ".")) || 1; draw(); });
      more.append(field("parts of white", input));
    } else {
      input.value = box.stroke ?? "thin";
      input.maxLength = 60;
      input.addEventListener("change", () => { keep(); box.stroke = input.value.trim() || "thin"; draw(); });
      more.append(field("its stroke", input));
      input.title = "Boxes of one stroke are equally thick, whatever they lie over.";
    }
  }
  item.addEventListener("focusin", () => choose(at));
  return item;
}

function showAll(focus = "") {
  const was = focus || document.activeElement?.id;
  list.replaceChildren(...boxes.map(fieldsOf));
  offerGrounds();
  draw();
  if (was) document.getElementById(was)?.focus({ preventScroll: true });
}

function offerGrounds() {
  let grounds = document.querySelector("#grounds");
  if (!grounds) {
    grounds = document.createElement("datalist");
    grounds.id = "grounds";
    room.append(grounds);
  }
  const names = new Set(["white", "black", ...boxes.filter((box) => box.what === "bare").map((box) => box.over)]);
  grounds.replaceChildren(...[...names].map((name) => new Option(name, name)));
}

function choose(at) {
  if (at === chosen) return;
  chosen = at;
  for (const item of list.children) item.classList.toggle("chosen", Number(item.dataset.at) === at);
  draw();
}

function say(words) { told.textContent = words; }

function add(box) {
  keep();
  fit(box);
  boxes.push(box);
  chosen = boxes.length - 1;
  showAll();
  say(`Box ${boxes.length}: ${WHATS.find(([name]) => name === box.what)[1]}.`);
}

function remove(at) {
  keep();
  boxes.splice(at, 1);
  chosen = Math.min(at, boxes.length - 1);
  showAll();
  (document.getElementById(`what-${chosen}`) ?? svg).focus({ preventScroll: true });
  say(`Box ${at + 1} is taken off. Undo fetches it back.`);
}

// Mouse, pen and finger: draw on the picture, drag a box, pull its corner.
let pull = null;
svg.addEventListener("pointerdown", (event) => {
  if (event.button > 0 || !event.isPrimary) return;
  const [x, y] = place(event);
  const group = event.target.closest("g[data-at]");
  if (group) choose(Number(group.dataset.at));
  keep();
  const box = group ? boxes[chosen] : next([x, y, 1, 1]);
  pull = { x, y, box, start: clone(box).box_px, kind: !group ? "draw" : event.target.classList.contains("grip") ? "size" : "move" };
  svg.setPointerCapture(event.pointerId);
  svg.focus({ preventScroll: true });
  event.preventDefault();
});
svg.addEventListener("pointermove", (event) => {
  if (!pull) return;
  const [x, y] = place(event);
  const [left, top, width, height] = pull.start;
  if (pull.kind === "draw") {
    pull.box.box_px = [Math.min(x, pull.x), Math.min(y, pull.y), Math.abs(x - pull.x), Math.abs(y - pull.y)];
    if (!boxes.includes(pull.box) && Math.max(pull.box.box_px[2], pull.box.box_px[3]) > LEAST) {
      boxes.push(pull.box);
      chosen = boxes.length - 1;
    }
  } else if (pull.kind === "size") {
    pull.box.box_px = [left, top, width + x - pull.x, height + y - pull.y];
    fit(pull.box);
  } else {
    pull.box.box_px = [left + x - pull.x, top + y - pull.y, width, height];
    fit(pull.box);
  }
  draw();
});
function letGo() {
  if (!pull) return;
  const isNew = pull.kind === "draw";
  if (boxes.includes(pull.box)) fit(pull.box);
  const same = JSON.stringify(pull.start) === JSON.stringify(pull.box.box_px) || (isNew && !boxes.includes(pull.box));
  if (same) before.pop();
  const number = boxes.indexOf(pull.box) + 1;
  pull = null;
  showAll();
  if (isNew && number) say(`Box ${number} is drawn: ${WHATS.find(([name]) => name === boxes[number - 1].what)[1]}.`);
}
svg.addEventListener("pointerup", letGo);
svg.addEventListener("pointercancel", letGo);

// Keys: a box is added in the middle, moved, sized, gone through and taken off.
svg.addEventListener("keydown", (event) => {
  const steps = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
  if (steps && chosen >= 0) {
    event.preventDefault();
    keep();
    const by = event.altKey ? 1 : Math.max(1, Math.round(WIDTH / 200));
    const [x, y, width, height] = boxes[chosen].box_px;
    const [right, down] = steps.map((step) => step * by);
    boxes[chosen].box_px = event.shiftKey ? [x, y, width + right, height + down] : [x + right, y + down, width, height];
    fit(boxes[chosen]);
    draw();
    say(`Box ${chosen + 1}: ${boxes[chosen].box_px.join(", ")}`);
  } else if (["Delete", "Backspace"].includes(event.key) && chosen >= 0) {
    event.preventDefault();
    remove(chosen);
    svg.focus({ preventScroll: true });
  } else if (["+", "Enter", "Insert"].includes(event.key)) {
    event.preventDefault();
    addOne();
    svg.focus({ preventScroll: true });
  } else if (["PageDown", "PageUp"].includes(event.key) && boxes.length) {
    event.preventDefault();
    choose((chosen + (event.key === "PageDown" ? 1 : boxes.length - 1)) % boxes.length);
    say(`Box ${chosen + 1}`);
  } else if (event.key.toLowerCase() === "z" && (event.ctrlKey || event.metaKey)) {
    event.preventDefault();
    undo();
  }
});

function addOne() {
  const side = Math.round(Math.min(WIDTH, HEIGHT) / 8);
  const last = boxes[chosen];
  const box_px = last ? [last.box_px[0] + last.box_px[2] * 1.15, last.box_px[1], last.box_px[2], last.box_px[3]] : [(WIDTH - side) / 2, (HEIGHT - side) / 2, side, side];
  add(next(box_px));
}

function undo() {
  if (!before.length) return;
  [boxes, chosen] = JSON.parse(before.pop());
  showAll();
  say("Undone.");
}

document.querySelector("#another").addEventListener("click", () => { addOne(); svg.focus({ preventScroll: true }); });
document.querySelector("#repeat").addEventListener("click", () => {
  const box = clone(boxes[chosen]);
  box.box_px[0] += box.box_px[2] * 1.15;
  add(box);
});
document.querySelector("#undo").addEventListener("click", undo);

const paper = ["l", "a", "b"].map((name) => document.querySelector(`#paper-${name}`));
(given.paper_lab ?? []).forEach((value, at) => { if (!isTouched(paper[at])) paper[at].value = value; });

document.querySelector("#read").addEventListener("click", async () => {
  const marks = { boxes: boxes.map(({ box_px, what, over, white_parts, stroke, name }) => ({ box_px, what, over, ...(what === "tint" ? { white_parts } : {}), ...(what === "thin" ? { stroke } : {}), ...(name ? { name } : {}) })) };
  const numbers = paper.map((input) => input.value.trim().replace(",", ".").replace("−", "-"));
  if (numbers.every((value) => value)) marks.paper_lab = numbers.map(Number);
  const answer = await fetch(`/cards/${room.dataset.key}/marks/boxes`, {
    method: "POST",
    headers: { "content-type": "application/json", accept: "application/json" },
    body: JSON.stringify(marks),
  });
  const said = await answer.json();
  if (answer.ok) return location.assign(said.page);
  wrong.textContent = said.words;
  wrong.hidden = false;
});

addEventListener("resize", draw);
showAll();
for (const name of ["another", "read"]) document.querySelector(`#${name}`).disabled = false;
