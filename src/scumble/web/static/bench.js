// The layer bench while one works on it: asks the server for every change and fills the page with its answer.

import { carry, standing, takeUp } from "./already.js";
import { closeFan, openFan, spread } from "./fan.js";
import { filmsOf, THICKEST, THINNEST } from "./films.js";
import { Newest } from "./newest.js";
import { offerPaints } from "./pick.js";

const bench = () => document.querySelector("#bench");
const form = () => document.querySelector("#layering");
const said = document.querySelector("#said");

function say(words, isWrong = false) {
  said.textContent = words;
  said.classList.toggle("wrong", isWrong);
}

/* what lies there, as the server wants to be asked */

function layering() {
  const given = new FormData(form());
  const [ground, own, dry, light, state] = ["ground", "own", "dry", "light", "state"].map((name) => given.get(name));
  return { ground, own, dry, painted: given.has("painted"), films: filmsOf(given), light, state };
}

function keptLayering() {
  if (!form().elements.kept.value) return null;
  const given = new URLSearchParams(form().elements.kept.value);
  const of = (name, usual) => given.get(name) ?? usual;
  return { ground: of("ground", "white"), own: of("own", ""), dry: of("dry", ""), painted: given.has("painted"), films: filmsOf(given), light: of("light", "D65"), state: of("state", "glossy") };
}

/* small changes: one question at a time, the newest wins */

let latest = null;
const looks = new Newest(send);
const ask = (event) => looks.ask(event);

async function send(start) {
  if (!form().checkValidity()) return;
  const asked = form();
  try {
    const answer = await fetch("/layers/look", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ layering: layering(), kept: keptLayering() }),
    });
    const data = await answer.json();
    if (!answer.ok) say(data.words, true);
    else if (asked === form()) fill(data, start);
  } catch (error) {
    say(`The server does not answer (${error.message}). Is Scumble still open in its terminal?`, true);
  }
}

const entry = (data, path) => path.split(".").reduce((inside, step) => inside?.[step], data);

function fill(data, start) {
  const all = (name) => bench().querySelectorAll(`[data-${name}]`);
  for (const each of all("fill")) each.setAttribute("fill", entry(data, each.dataset.fill));
  for (const each of all("text")) each.textContent = entry(data, each.dataset.text);
  for (const each of all("html")) each.innerHTML = entry(data, each.dataset.html);
  for (const each of all("value")) each.value = entry(data, each.dataset.value);
  for (const each of all("x")) each.setAttribute("x", `${entry(data, each.dataset.x)}%`);
  for (const figure of bench().querySelectorAll(".swatch")) {
    const seen = data[figure.classList[1]];
    const before = data.kept?.[figure.classList[1]];
    figure.querySelector("svg").setAttribute("aria-label", before ? `kept: ${before.name}; now: ${seen.name}` : `${seen.name}, over ${seen.ground}`);
  }
  stretch(data.section_height);
  data.edges.forEach((edge, at) => place(at + 1, edge));
  if (said.classList.contains("wrong")) say("");
  latest = data;
  document.querySelector("#to-painting").href = `/painting?${data.query}`;
  const wanted = data.chosen.lab.map((value) => value.toFixed(2)).join(" ");
  document.querySelector("#to-match").href = `/match?${new URLSearchParams({ colour: wanted, light: layering().light })}`;
  performance.measure("layers", { start, end: performance.now() });
}

function stretch(height) {
  const block = document.querySelector("#section .block");
  document.querySelector("#section").setAttribute("height", height);
  block.setAttribute("height", height);
  block.setAttribute("viewBox", `0 0 1000 ${height}`);
}

function place(film, edge) {
  const grip = document.querySelector(`#grip-${film}`);
  if (!grip) return;
  grip.setAttribute("x", `${edge.across}%`);
  grip.setAttribute("y", edge.down);
  grip.setAttribute("aria-valuenow", edge.coats);
  grip.setAttribute("aria-valuetext", edge.says);
}

/* greater changes: the server lays the page out anew */

let turning = Promise.resolve();

// One after the other: what is asked is what stands there when the one before is answered.
function turn(asking, options) {
  turning = turning.then(() => layOut(asking, options));
  return turning;
}

async function layOut(asking, { keep = true, focus } = {}) {
  closeFan();
  await looks.settled();
  const address = asking();
  const stood = standing(form());
  try {
    const answer = await fetch(address);
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (!answer.ok) return say(page.querySelector(".lede")?.textContent ?? "That can't be done.", true);
    const before = focus ?? document.activeElement?.id;
    const changes = stood.changes();
    bench().replaceWith(page.querySelector("#bench"));
    say("");
    enliven();
    if (keep) remember(`?${bench().dataset.query}`);
    else showSteps();
    const next = before && (document.getElementById(before) ?? document.querySelector("#lay"));
    next?.focus();
    if (focus && next?.type === "number") next.select();
    carry(changes, form());
  } catch (error) {
    say(`The server does not answer (${error.message}). Is Scumble still open in its terminal?`, true);
  }
}

function address(doing) {
  const words = new URLSearchParams();
  const { films, ...rest } = layering();
  for (const [name, value] of Object.entries(rest)) if (value && value !== "off") words.set(name, value === true ? "on" : value);
  for (const film of films.reverse()) for (const [name, value] of Object.entries(film)) words.append(name, value);
  if (form().elements.kept.value) words.set("kept", form().elements.kept.value);
  if (doing) words.set("do", doing);
  if (doing === "add") words.set("add", form().elements.add.value);
  return `/layers?${words}`;
}

/* what was done can be undone: every change is a place in the browser's history */

function remember(query) {
  for (const back of document.querySelectorAll("form.light input[name=back]")) back.value = `/layers${query}`;
  if (query === location.search) return;
  const at = (history.state?.at ?? 0) + 1;
  history.pushState({ at }, "", `/layers${query}`);
  sessionStorage.setItem("layers-last", at);
  showSteps();
}

async function commit() {
  await looks.settled();
  if (!latest) return;
  const keeps = form().elements.kept.value;
  remember(`?${latest.query}${keeps ? `&kept=${encodeURIComponent(keeps)}` : ""}`);
  tell();
}

let telling = 0;
function tell() {
  clearTimeout(telling);
  telling = setTimeout(() => latest && !said.classList.contains("wrong") && say(`Now ${latest.chosen.name}. ${latest.contrast}`), 500);
}

function showSteps() {
  const at = history.state?.at ?? 0;
  document.querySelector("#undo").disabled = at === 0;
  document.querySelector("#redo").disabled = at >= Number(sessionStorage.getItem("layers-last") ?? 0);
}

addEventListener("popstate", () => turn(() => location.href, { keep: false }));
document.querySelector("#undo").addEventListener("click", () => history.back());
document.querySelector("#redo").addEventListener("click", () => history.forward());
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z" || event.target.matches("input:not([type=radio])")) return;
  event.preventDefault();
  const button = document.querySelector(event.shiftKey ? "#redo" : "#undo");
  if (!button.disabled) button.click();
});

/* films by hand */

const field = (name, film) => document.querySelector(`#${name}-${film}`);
const grain = (coats) => Number(Math.min(Math.max(coats, THINNEST), THICKEST).toPrecision(3));

function setCoats(film, coats, event) {
  const input = field("coats", film);
  const next = grain(coats);
  if (Number(input.value) === next) return;
  input.value = next;
  showAtOnce(film, next, event);
  ask(event);
}

function showAtOnce(film, coats, event) {
  const colours = spread(film, coats);
  if (!colours) return;
  for (const [ground, colour] of Object.entries(colours)) bench().querySelector(`[data-fill="${ground}.colour"]`).setAttribute("fill", colour);
  const start = event.timeStamp;
  // The frame that shows it is the next one.
  requestAnimationFrame(() => setTimeout(() => performance.measure("at-once", { start, end: performance.now() })));
}

function press(event) {
  const grip = event.currentTarget;
  const film = Number(grip.dataset.film);
  if (event.button) return;
  event.preventDefault();
  grip.focus();
  grip.setPointerCapture(event.pointerId);
  grip.classList.add("held");
  openFan(film, layering()).catch(() => undefined);
  const { coatHeight, heightPower } = bench().dataset;
  const tall = coatHeight * Number(field("coats", film).value) ** heightPower;
  const from = event.clientY;
  const move = (moved) => {
    const height = Math.max(tall + from - moved.clientY, 0);
    setCoats(film, (height / coatHeight) ** (1 / heightPower), moved);
  };
  const release = () => {
    grip.removeEventListener("pointermove", move);
    grip.classList.remove("held");
    commit();
  };
  grip.addEventListener("pointermove", move);
  grip.addEventListener("lostpointercapture", release, { once: true });
}

function key(event) {
  const film = Number(event.currentTarget.dataset.film);
  const coats = Number(field("coats", film).value);
  if (event.shiftKey && /^Arrow(Up|Down)$/.test(event.key)) {
    event.preventDefault();
    const way = event.key === "ArrowUp" ? 1 : -1;
    if (field("coats", film + way)) turn(() => address(`${way > 0 ? "up" : "down"}-${film}`), { focus: `grip-${film + way}` });
    return;
  }
  if (event.key === "Delete" || event.key === "Backspace") {
    event.preventDefault();
    turn(() => address(`remove-${film}`), { focus: `grip-${Math.max(film - 1, 1)}` });
    return;
  }
  const next = { ArrowUp: coats * 1.08, ArrowRight: coats * 1.08, ArrowDown: coats / 1.08, ArrowLeft: coats / 1.08, PageUp: coats * 2, PageDown: coats / 2, Home: THINNEST, End: THICKEST }[event.key];
  if (next === undefined) return;
  event.preventDefault();
  // Thin films still move by the smallest step that is shown.
  setCoats(film, Math.abs(next - coats) < 0.001 ? coats + Math.sign(next - coats) * 0.001 : next, event);
}

function enliven() {
  const root = bench();
  root.classList.add("live");
  for (const hint of root.querySelectorAll(".how, .script")) hint.hidden = false;
  for (const grip of root.querySelectorAll(".grip")) {
    const film = grip.dataset.film;
    const ready = { role: "slider", tabindex: 0, "aria-orientation": "vertical", "aria-valuemin": THINNEST, "aria-valuemax": THICKEST, "aria-valuenow": field("coats", film).value };
    for (const [name, value] of Object.entries(ready)) grip.setAttribute(name, value);
    grip.addEventListener("pointerdown", press);
    grip.addEventListener("keydown", key);
    grip.addEventListener("focus", () => openFan(Number(film), layering()).catch(() => undefined));
    grip.addEventListener("blur", closeFan);
    grip.addEventListener("keyup", (event) => /^(Arrow|Page|Home|End)/.test(event.key) && !event.shiftKey && commit());
  }
  form().addEventListener("input", (event) => {
    closeFan();
    if (event.target.type === "number") ask(event);
  });
  form().addEventListener("change", changed);
  form().addEventListener("submit", (event) => {
    event.preventDefault();
    const doing = event.submitter?.value ?? "";
    const [verb, film] = doing.split("-");
    const after = { up: `up-${Number(film) + 1}`, down: `down-${Number(film) - 1}`, remove: "lay", keep: "swap", swap: "swap", drop: "keep" }[verb];
    const count = root.querySelectorAll(".film").length;
    turn(() => address(doing), { focus: verb === "add" ? `coats-${count + 1}` : after });
  });
  for (const input of root.querySelectorAll("[data-pick]")) offerPaints(input, (label) => choose(input, label));
  root.querySelector("#copy").addEventListener("click", async () => {
    await commit();
    await navigator.clipboard.writeText(location.href);
    say("The link is copied.");
  });
  root.querySelector("#print").addEventListener("click", () => print());
  latest = null;
}

function choose(input, label) {
  input.value = label;
  if (input.id === "lay") {
    turn(() => address("add"), { focus: `coats-${bench().querySelectorAll(".film").length + 1}` });
  } else turn(() => address());
}

function changed(event) {
  const target = event.target;
  if (target.type === "number" || target.name === "state") {
    ask(event);
    commit();
  } else if (target.name === "ground") {
    const described = { own: "own", dry: "dry" }[target.value];
    if (!described) {
      ask(event);
      commit();
    } else if (form().elements[described].value) turn(() => address());
    else form().elements[described].focus();
  } else if (target.name === "own" || target.name === "dry" || target.name === "painted" || target.name === "light") turn(() => address());
}

if (!history.state) {
  history.replaceState({ at: 0 }, "");
  sessionStorage.setItem("layers-last", 0);
}
document.querySelector("#steps").hidden = false;
showSteps();
enliven();
takeUp(form());
