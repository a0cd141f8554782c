// On a painting: the photograph stays here; the server is asked for tables that say what films make of its colours.

import { carry, standing, takeUp } from "./already.js";
import { alikeTable, Brushed } from "./brush.js";
import { Easel } from "./easel.js";
import { amounts, coatsAt, filmsOf, placeOf, sayCoats } from "./films.js";
import { fetchPicture, forgetPicture, keepPicture } from "./keep_picture.js";
import { AREAS, layWhole, openLayer } from "./lay.js";
import { Newest } from "./newest.js";
import { asFile, colourAt, hex, openPhotograph } from "./photograph.js";
import { offerPaints } from "./pick.js";

const page = document.querySelector(".painting");
const form = () => document.querySelector("#films");
const field = (name) => document.querySelector(`#${name}`);
const said = field("said");
const NODES = Number(page.dataset.nodes);
const MOST_DOTS = 16e6; // a larger photograph is shown smaller; it is saved at full size
const MOST_STEPS = 60;
const SLOW_MS = 40;
const PALEST = 0.26; // least channel of a place that the server takes as white

function say(words, isWrong = false) {
  said.textContent = words;
  said.classList.toggle("wrong", isWrong);
}

/* what is on the page now; every finished change is a step that can be taken back */

const fresh = () => ({ strokes: [], area: "whole", inverted: false, broken: 0, alike: null, sheen: { surface: "glossy", white: null, white_is: 0.85 } });
let now = { ...fresh(), query: form().dataset.query, picture: null };
const steps = { done: [], undone: [] };
let shown = null; // { blob, name, bitmap }
let brushed = null;
let layer = null;
let tables = {};

function showSteps() {
  field("undo").disabled = !steps.done.length;
  field("redo").disabled = !steps.undone.length;
}

function change(changes) {
  steps.done.push(now);
  steps.done.splice(0, steps.done.length - MOST_STEPS);
  steps.undone = [];
  now = { ...now, ...changes };
  settle();
}

async function goTo(from, to) {
  if (!from.length) return;
  to.push(now);
  const before = now;
  now = from.pop();
  if (now.picture !== before.picture) await show(now.picture);
  if (now.strokes !== before.strokes) repaint();
  if (now.query !== before.query) await turn(() => `/painting?${now.query}&manner=${manner()}`, { counts: false });
  settle();
  askBefore();
}

// Everything that follows from what is on the page now.
function settle() {
  showSteps();
  showArea();
  showSheen();
  for (const link of [["#bench", `/layers?${now.query}`], ["form.save input[name=query]", now.query]]) {
    const found = document.querySelector(link[0]);
    if (found.href !== undefined) found.href = link[1];
    else found.value = link[1];
  }
  for (const back of document.querySelectorAll("form.light input[name=back]")) back.value = `/painting?${now.query}`;
  history.replaceState(null, "", `/painting?${now.query}`);
  redraw();
  keep();
}

let keeping = 0;
function keep() {
  clearTimeout(keeping);
  if (shown) keeping = setTimeout(keepNow, 600);
}

function keepNow() {
  clearTimeout(keeping);
  keeping = 0;
  const { picture, query, ...rest } = now;
  return keepPicture({ blob: shown.blob, name: shown.name, state: rest });
}

// Who leaves the page at once loses nothing either.
addEventListener("visibilitychange", () => { if (document.hidden && keeping) keepNow(); });
addEventListener("pagehide", () => { if (keeping) keepNow(); });

/* the films, as the server wants to be asked */

const manner = () => new FormData(form()).get("manner") ?? "glaze";

function layering() {
  const given = new FormData(form());
  return { films: filmsOf(given), light: given.get("light"), state: given.get("state") };
}

function queryOf({ films, light, state }) {
  const words = new URLSearchParams();
  if (light !== "D65") words.set("light", light);
  if (state !== "glossy") words.set("state", state);
  for (const name of ["paint", ...Object.keys(amounts), "second"]) {
    const values = [...films].reverse().map((film) => film[name]);
    if (name === "paint" || values.some((value) => value !== (amounts[name] ?? ""))) for (const value of values) words.append(name, value);
  }
  return words.toString();
}

async function post(path, body) {
  const answer = await fetch(path, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) });
  if (answer.ok) return answer;
  throw new Error((await answer.json()).words);
}

let isSlow = false; // no graphics chip: a drag is followed coarsely and drawn finely when it ends
const tablesAsked = new Newest(send);
const ask = (event) => tablesAsked.ask(event);

async function send(start) {
  if (!shown || !form().checkValidity()) return;
  try {
    const answer = await post("/painting/table", { layering: layering(), sheen: now.sheen });
    tables.after = new Uint16Array(await answer.arrayBuffer());
    layer.setTable("after", tables.after);
    const began = performance.now();
    await draw();
    if (layer.settled) {
      await layer.settled();
      if (!easel.coarse) isSlow = performance.now() - began > SLOW_MS;
    }
    requestAnimationFrame(() => setTimeout(() => performance.measure("painting", { start, end: performance.now() })));
    if (said.classList.contains("wrong")) say("");
    lookAgain();
  } catch (error) {
    say(error.message, true);
  }
}

// What the photograph is once its white is set and its light chosen: the same, without films.
let beforeAsked = Promise.resolve();
function askBefore() {
  beforeAsked = fetchBefore().catch((error) => say(error.message, true));
  return beforeAsked;
}

async function fetchBefore() {
  if (!shown) return;
  const { light } = layering();
  if (now.sheen.white || light !== "D65") {
    const answer = await post("/painting/table", { layering: { films: [], light }, sheen: now.sheen });
    tables.before = new Uint16Array(await answer.arrayBuffer());
    layer.setTable("before", tables.before);
  } else delete tables.before;
  ask();
}

/* drawing */

let isDue = false;
function redraw() {
  if (isDue || !layer) return;
  isDue = true;
  requestAnimationFrame(draw);
}

const how = () => ({ area: AREAS[now.area], inverted: now.inverted && now.area !== "whole", corrected: "before" in tables, broken: now.broken, tall: shown.bitmap.height / shown.bitmap.width });

function draw() {
  isDue = false;
  if (!shown) return Promise.resolve();
  const part = brushed.take();
  if (part) layer.setMaskPart(part.alpha, part.x, part.y, part.width, part.height);
  // A mask of nothing brushed yet hides everything; until then the whole picture helps more.
  const area = now.area === "alike" && !now.alike ? { area: AREAS.whole } : {};
  return layer.draw({ ...how(), ...area, view: easel.view, split: easel.split });
}

const easel = new Easel(field("easel"), {
  redraw,
  look: (place) => lookAt(place),
  take: (place) => change({ area: "alike", alike: { colour: colourAt(shown, place), reach: Number(field("reach").value) / 100, soft: Number(field("edge").value) / 100 } }) ?? tellAlike(),
  white: (place) => {
    const white = colourAt(shown, place);
    if (Math.min(...white) < PALEST) return say("This place is too dark or too coloured to be white. Point at bare priming, white paint or paper.", true);
    change({ sheen: { ...now.sheen, white } });
    askBefore();
  },
  start: (place) => {
    stroke = { points: [], size: easel.size, soft: Number(field("soft").value) / 100, erase: easel.tool === "erase" };
    if (now.area !== "brush") now = { ...now, area: "brush" };
    brushed.add(stroke, place);
    redraw();
  },
  stroke: (place) => {
    brushed.add(stroke, place);
    redraw();
  },
  stop: (isTakenBack) => {
    if (isTakenBack) repaint();
    else change({ strokes: [...now.strokes, stroke] });
  },
});
let stroke = null;

function repaint() {
  brushed.repaint(now.strokes);
  redraw();
}

/* the picture */

async function show(picture) {
  const { width, height } = picture.bitmap;
  layer ??= await openLayer(field("picture"), NODES);
  const most = Math.min(Math.sqrt(MOST_DOTS / (width * height)), layer.mostPixels / Math.max(width, height), 1);
  const small = most < 1 ? await createImageBitmap(picture.bitmap, { resizeWidth: Math.round(width * most), resizeHeight: Math.round(height * most), resizeQuality: "high" }) : picture.bitmap;
  layer.setPicture(small);
  brushed = new Brushed(width, height);
  const mask = brushed.whole();
  layer.setMask(mask.alpha, mask.width, mask.height);
  shown = picture;
  now = { ...now, picture };
  field("easel").classList.remove("empty");
  field("ask").hidden = true;
  field("frame").hidden = false;
  for (const each of document.querySelectorAll(".under, .side > .script")) each.hidden = false;
  easel.setPicture(width, height);
  repaint();
}

let isOpened = false;
async function open(blob, name, state = fresh()) {
  isOpened = true;
  try {
    say("Opening the picture ...");
    const picture = await openPhotograph(blob, name, say);
    now = { ...now, ...state };
    steps.done = [];
    steps.undone = [];
    await show(picture);
    settle();
    await Promise.all([askBefore(), keepNow()]);
    say(`${name}, ${picture.bitmap.width} by ${picture.bitmap.height} pixels, is on the easel.`);
  } catch (error) {
    say(error.message, true);
  }
}

for (const button of document.querySelectorAll(".choose")) button.addEventListener("click", () => field("file").click());
field("file").addEventListener("change", () => {
  const [file] = field("file").files;
  if (file) open(file, file.name);
  field("file").value = "";
});
field("try").addEventListener("click", async () => {
  say("Painting the grisaille ...");
  await new Promise((done) => setTimeout(done, 30));
  const { paintGrisaille } = await import("./grisaille.js");
  await open(await paintGrisaille(), "The grisaille");
});
addEventListener("dragover", (event) => {
  event.preventDefault();
  field("easel").classList.add("over");
});
addEventListener("dragleave", (event) => event.relatedTarget === null && field("easel").classList.remove("over"));
addEventListener("drop", (event) => {
  event.preventDefault();
  field("easel").classList.remove("over");
  const [file] = event.dataTransfer.files;
  if (file) open(file, file.name);
});
addEventListener("paste", (event) => {
  const file = [...event.clipboardData.files].find((each) => each.type.startsWith("image/"));
  if (file) open(file, "The pasted picture");
});

/* one place, closer */

let looking = null;
let isLooking = false;

function lookAt(place) {
  const again = looking === null;
  looking = place;
  if (!isLooking || again) lookAgain();
}

async function lookAgain() {
  if (!looking || isLooking || !shown) return;
  isLooking = true;
  const place = looking;
  try {
    const answer = await post("/painting/point", { layering: layering(), sheen: now.sheen, colour: colourAt(shown, place) });
    const data = await answer.json();
    const point = field("point");
    const entry = (path) => path.split(".").reduce((inside, step) => inside[step], data);
    for (const each of point.querySelectorAll("[data-text]")) each.textContent = entry(each.dataset.text);
    for (const each of point.querySelectorAll("[data-fill]")) each.setAttribute("fill", entry(each.dataset.fill));
    field("to-bench").href = `/layers?${data.ground}`;
    field("to-match").href = `/match?${new URLSearchParams({ colour: data.before.colour })}`;
    point.hidden = false;
  } catch (error) {
    say(error.message, true);
  } finally {
    isLooking = false;
    if (looking !== place) lookAgain();
  }
}

/* where */

// The grain lies mostly between a quarter and three quarters; the slide covers that.
const brokenAt = (value) => (Number(value) === 0 ? 0 : 0.2 + 0.005 * value);

function showArea() {
  field(`area-${now.area}`).checked = true;
  for (const each of document.querySelectorAll(".how-far")) each.hidden = !(each.classList.contains(now.area) || (each.classList.contains("inverted") && now.area !== "whole"));
  field("inverted").checked = now.inverted;
  field("broken").value = now.broken ? Math.round((now.broken - 0.2) / 0.005) : 0;
  const { alike } = now;
  field("taken").setAttribute("fill", alike ? hex(alike.colour) : "none");
  if (alike) {
    field("taken-words").textContent = "This colour and its like.";
    field("reach").value = 100 * alike.reach;
    field("edge").value = 100 * alike.soft;
  }
  if (layer && alike && alike !== tables.alikeOf) {
    tables.alike = alikeTable(NODES, alike.colour, alike);
    tables.alikeOf = alike;
    layer.setAlike(tables.alike);
  }
  showSlides();
}

function tellAlike() {
  say("The films lie on this colour and its like.");
}

function setTool(tool) {
  field(`pointer-${tool}`).checked = true;
  easel.setTool(tool, Number(field("size").value) / 100);
}

for (const input of document.querySelectorAll("[name=pointer]")) {
  input.addEventListener("change", () => {
    setTool(input.value);
    if (input.value === "brush" && now.area !== "brush") change({ area: "brush" });
  });
}
for (const input of document.querySelectorAll("[name=area]")) {
  input.addEventListener("change", () => {
    change({ area: input.value });
    setTool({ whole: "look", brush: "brush", alike: now.alike ? "look" : "alike" }[input.value]);
  });
}
field("inverted").addEventListener("change", () => change({ inverted: field("inverted").checked }));
field("wipe").addEventListener("click", () => {
  change({ strokes: [] });
  repaint();
});
field("broken").addEventListener("input", () => {
  now = { ...now, broken: brokenAt(field("broken").value) };
  showSlides();
  redraw();
});
field("broken").addEventListener("change", keep);

for (const name of ["reach", "edge"]) {
  field(name).addEventListener("input", () => {
    if (!now.alike) return;
    now = { ...now, alike: { ...now.alike, reach: Number(field("reach").value) / 100, soft: Number(field("edge").value) / 100 } };
    showArea();
    redraw();
  });
  field(name).addEventListener("change", keep);
}

function showSlides() {
  field("size").nextElementSibling.textContent = `${field("size").value} %`;
  field("soft").nextElementSibling.textContent = `${field("soft").value} %`;
  field("reach").nextElementSibling.textContent = `${field("reach").value}`;
  field("edge").nextElementSibling.textContent = `${field("edge").value}`;
  field("broken").nextElementSibling.textContent = now.broken ? "broken" : "whole";
  field("white-is").nextElementSibling.textContent = `${field("white-is").value} %`;
}
for (const name of ["size", "soft"]) {
  field(name).addEventListener("input", () => {
    easel.setTool(easel.tool, Number(field("size").value) / 100);
    showSlides();
  });
}

/* what is taken for granted */

function showSheen() {
  const { surface, white, white_is: share } = now.sheen;
  field(`surface-${surface}`).checked = true;
  field("white-chip").setAttribute("fill", white ? hex(white) : "none");
  field("white-words").textContent = white ? "This place of the photograph is taken as white." : "Its white is taken as the photograph has it. “Point at white” sets it.";
  for (const each of document.querySelectorAll(".white-is:not(input)")) each.hidden = !white;
  field("white-is").value = 100 * share;
  showSlides();
}

for (const input of document.querySelectorAll("[name=surface]")) {
  input.addEventListener("change", () => {
    change({ sheen: { ...now.sheen, surface: input.value } });
    ask();
  });
}
field("white-is").addEventListener("input", () => {
  now = { ...now, sheen: { ...now.sheen, white_is: Number(field("white-is").value) / 100 } };
  showSlides();
});
field("white-is").addEventListener("change", () => {
  keep();
  askBefore();
});
field("no-white").addEventListener("click", () => {
  change({ sheen: { ...now.sheen, white: null } });
  askBefore();
});

/* films: small changes here, greater ones by the server's own page */

function slideCoats(slide, event) {
  const coats = coatsAt(slide.value);
  document.querySelector(`#coats-${slide.dataset.film}`).value = coats;
  slide.setAttribute("aria-valuetext", sayCoats(coats));
  easel.setCoarse(isSlow);
  ask(event);
}

function settleFilms() {
  const query = queryOf(layering());
  if (query !== now.query) change({ query });
}

let turning = Promise.resolve();

// One after the other: what is asked is what stands there when the one before is answered.
function turn(asking, options) {
  turning = turning.then(() => layOut(asking(), options));
  return turning;
}

async function layOut(address, { focus, counts = true } = {}) {
  const stood = standing(form());
  try {
    const answer = await fetch(address);
    const other = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (!answer.ok) return say(other.querySelector(".lede")?.textContent ?? "That can't be done.", true);
    const changes = stood.changes();
    form().replaceWith(other.querySelector("#films"));
    for (const input of other.querySelectorAll("#seen input:checked")) field(input.id).checked = true;
    enliven();
    say("");
    if (counts && form().dataset.query !== now.query) change({ query: form().dataset.query });
    askBefore();
    const next = focus && (document.getElementById(focus) ?? field("lay"));
    next?.focus();
    carry(changes, form());
  } catch (error) {
    say(`The server does not answer (${error.message}). Is Scumble still open in its terminal?`, true);
  }
}

function address(doing) {
  const words = new URLSearchParams(queryOf(layering()));
  words.set("manner", manner());
  if (doing) words.set("do", doing);
  if (doing === "add") words.set("add", field("lay").value);
  return `/painting?${words}`;
}

const count = () => form().querySelectorAll(".film").length;

function changed(event) {
  easel.setCoarse(false);
  if (event.target.name === "light") {
    settleFilms();
    askBefore();
  } else if (event.target.type === "number" || event.target.type === "range" || event.target.name === "state") {
    ask(event);
    settleFilms();
  }
}

function enliven() {
  const root = form();
  root.classList.add("live");
  for (const each of root.querySelectorAll(".script")) each.hidden = false;
  for (const slide of root.querySelectorAll("[id^=slide-]")) {
    const coats = Number(document.querySelector(`#coats-${slide.dataset.film}`).value);
    slide.value = placeOf(coats);
    slide.setAttribute("aria-valuetext", sayCoats(coats));
    slide.addEventListener("input", (event) => slideCoats(slide, event));
  }
  root.addEventListener("input", (event) => {
    if (event.target.type !== "number" || !event.target.checkValidity()) return;
    const slide = event.target.name === "coats" && document.querySelector(`#slide-${event.target.id.split("-")[1]}`);
    if (slide) slide.value = placeOf(Number(event.target.value) || 0.5);
    ask(event);
  });
  root.addEventListener("change", changed);
  root.addEventListener("submit", (event) => {
    event.preventDefault();
    const doing = event.submitter?.value ?? "";
    const [verb, film] = doing.split("-");
    const after = { up: `up-${Number(film) + 1}`, down: `down-${Number(film) - 1}`, remove: "lay" }[verb];
    turn(() => address(doing), { focus: verb === "add" ? `slide-${count() + 1}` : after });
  });
  for (const input of root.querySelectorAll("[data-pick]")) {
    offerPaints(input, (label) => {
      input.value = label;
      if (input.id === "lay") turn(() => address("add"), { focus: `slide-${count() + 1}` });
      else turn(() => address());
    });
  }
}

field("seen").addEventListener("change", changed);

/* buttons */

field("undo").addEventListener("click", () => goTo(steps.done, steps.undone));
field("redo").addEventListener("click", () => goTo(steps.undone, steps.done));
field("larger").addEventListener("click", () => easel.zoom(1.5));
field("smaller").addEventListener("click", () => easel.zoom(1 / 1.5));
field("fit").addEventListener("click", () => easel.whole());

function peek(on) {
  field("peek").setAttribute("aria-pressed", on);
  easel.peek(on);
}
field("peek").addEventListener("click", () => peek(!easel.peeking));
document.addEventListener("keydown", (event) => {
  const isTyping = event.target.matches("input:not([type=radio], [type=range], [type=checkbox])");
  const key = event.key.toLowerCase();
  if ((event.ctrlKey || event.metaKey) && key === "z" && !isTyping) {
    event.preventDefault();
    field(event.shiftKey ? "redo" : "undo").click();
  } else if (key === "b" && !isTyping && !event.ctrlKey && !event.metaKey && !event.altKey && shown) peek(!easel.peeking);
});

async function whole(words) {
  await beforeAsked;
  await tablesAsked.settled();
  const { after, before, alike } = tables;
  return layWhole(shown.bitmap, NODES, {
    tables: before ? { after, before } : { after },
    alike,
    mask: brushed.whole(),
    how: how(),
    progress: (share) => say(`${words} ${Math.round(100 * share)} %`),
  });
}

async function busy(button, work) {
  button.disabled = true;
  try {
    await work();
  } catch (error) {
    say(error.message, true);
  } finally {
    button.disabled = false;
  }
}

field("save-picture").addEventListener("click", ({ currentTarget }) =>
  busy(currentTarget, async () => {
    const blob = await asFile(await whole("Laying the films at full size:"));
    const link = document.createElement("a");
    link.href = URL.createObjectURL(blob);
    link.download = `${shown.name.replace(/\.[^.]*$/, "")} with films.png`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    say(`Saved at ${shown.bitmap.width} by ${shown.bitmap.height} pixels.`);
  }),
);
field("dry").addEventListener("click", ({ currentTarget }) =>
  busy(currentTarget, async () => {
    if (!layering().films.length) return say("Nothing lies on the picture that could dry.", true);
    const canvas = await whole("Drying:");
    const blob = await asFile(canvas);
    const picture = { blob, name: shown.name, bitmap: await createImageBitmap(canvas) };
    change({ ...fresh(), picture, query: queryOf({ ...layering(), films: [] }) });
    tables = {};
    await show(picture);
    await turn(() => `/painting?${now.query}&manner=${manner()}`, { counts: false, focus: "lay" });
    settle();
    setTool("look");
    say("What lay there has dried into the picture. Lay the next film; Undo fetches the wet one back.");
  }),
);
field("forget").addEventListener("click", async () => {
  clearTimeout(keeping);
  keeping = 0;
  await forgetPicture();
  location.reload();
});
field("copy").addEventListener("click", async () => {
  await navigator.clipboard.writeText(location.href);
  say("The link is copied. It holds the films, not the photograph.");
});

for (const each of document.querySelectorAll(".steps-back, #ask")) each.hidden = false;
enliven();
showSteps();
takeUp(form(), field("file"));
const before = await fetchPicture();
if (before && !isOpened) await open(before.blob, before.name, { ...fresh(), ...before.state });
