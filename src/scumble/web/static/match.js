// Looks for a colour while one watches, and takes wanted colours from the screen or from a photograph.

import { isTouched, takeUp } from "/static/already.js";
import { openPhotograph } from "/static/photograph.js";

const form = document.querySelector("#ask");
const said = document.querySelector("#said");
const found = document.querySelector("#found");
const search = document.querySelector("#search");
const picture = document.querySelector("#picture");
const LARGEST = 1600;
const AROUND = 4;
let stream = null;
let shown = "";

function say(words, isWrong = false) {
  said.textContent = words;
  said.classList.toggle("wrong", isWrong);
}

function stop() {
  stream?.close();
  stream = null;
  search.hidden = true;
}

function query() {
  const asked = new URLSearchParams(new FormData(form));
  asked.delete("whole");
  for (const [name, value] of [...asked]) if (value === "") asked.delete(name);
  return asked;
}

function look({ keep = true } = {}) {
  stop();
  say("");
  const asked = query();
  if (keep) history.pushState(null, "", `/match?${asked}`);
  const isFirst = !found.childElementCount;
  search.hidden = false;
  document.querySelector("#stage").textContent = "looking";
  stream = new EventSource(`/match/answers?${asked}`);
  stream.addEventListener("answer", ({ data }) => {
    const answer = JSON.parse(data);
    // What has not changed is left alone, and with it whatever is being read, pointed at or has the focus.
    if (answer.html !== shown) found.innerHTML = answer.html;
    shown = answer.html;
    document.querySelector("#share").value = answer.share;
    document.querySelector("#stage").textContent = answer.stage;
    if (answer.share >= 1) say(isFirst ? "The search is done." : "The search is done; the recipes are new.");
  });
  stream.addEventListener("wrong", ({ data }) => say(JSON.parse(data).words, true));
  stream.addEventListener("done", stop);
  stream.addEventListener("error", () => {
    if (!stream) return;
    stop();
    say("The server does not answer. Is Scumble still open in its terminal?", true);
  });
}

function want(colour) {
  form.elements.colour.value = colour;
  look();
}

/* a point of a photograph */

let pixels = null;
let cross = null;
let drawn = null;

async function open(file) {
  try {
    drawn = (await openPhotograph(file, file.name, say)).bitmap;
    say("");
  } catch (error) {
    say(error.message, true);
    return;
  }
  const scale = Math.min(1, LARGEST / Math.max(drawn.width, drawn.height));
  picture.width = Math.round(drawn.width * scale);
  picture.height = Math.round(drawn.height * scale);
  const pen = picture.getContext("2d", { willReadFrequently: true });
  pen.drawImage(drawn, 0, 0, picture.width, picture.height);
  pixels = pen.getImageData(0, 0, picture.width, picture.height);
  document.querySelector("#picked").hidden = false;
  point(picture.width / 2, picture.height / 2);
  picture.focus();
}

const toLinear = (value) => (value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4);
const toScreen = (value) => (value <= 0.0031308 ? value * 12.92 : 1.055 * value ** (1 / 2.4) - 0.055);

/** The mean of a small square around a point, averaged as light. */
function under(x, y) {
  const sums = [0, 0, 0];
  let count = 0;
  for (let row = Math.max(0, y - AROUND); row <= Math.min(pixels.height - 1, y + AROUND); row++) {
    for (let column = Math.max(0, x - AROUND); column <= Math.min(pixels.width - 1, x + AROUND); column++) {
      const at = 4 * (row * pixels.width + column);
      for (let part = 0; part < 3; part++) sums[part] += toLinear(pixels.data[at + part] / 255);
      count++;
    }
  }
  return `#${sums.map((sum) => Math.round(255 * toScreen(sum / count)).toString(16).padStart(2, "0")).join("")}`;
}

function point(x, y) {
  cross = { x: Math.round(Math.min(Math.max(x, 0), picture.width - 1)), y: Math.round(Math.min(Math.max(y, 0), picture.height - 1)) };
  const pen = picture.getContext("2d");
  pen.putImageData(pixels, 0, 0);
  const reach = picture.width / 40;
  for (const [width, ink] of [[5, "#131313"], [2, "#f0f0f0"]]) {
    pen.beginPath();
    pen.arc(cross.x, cross.y, reach, 0, 2 * Math.PI);
    pen.lineWidth = width;
    pen.strokeStyle = ink;
    pen.stroke();
  }
}

/** Where a touch lies in the picture, which may stand in a larger box. */
function place(event) {
  const box = picture.getBoundingClientRect();
  const scale = Math.max(picture.width / box.width, picture.height / box.height);
  return [(event.clientX - box.left) * scale, (event.clientY - box.top) * scale];
}

picture.addEventListener("click", (event) => {
  point(...place(event));
  want(under(cross.x, cross.y));
});
picture.addEventListener("keydown", (event) => {
  const step = picture.width / (event.shiftKey ? 20 : 200);
  const ways = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] };
  if (event.key === "Enter") want(under(cross.x, cross.y));
  else if (ways[event.key]) point(cross.x + ways[event.key][0], cross.y + ways[event.key][1]);
  else return;
  event.preventDefault();
});
document.querySelector("#photo").addEventListener("change", ({ target }) => target.files[0] && open(target.files[0]));
document.querySelector("#screen").addEventListener("change", ({ target }) => want(target.value));

/* the form */

form.addEventListener("submit", (event) => {
  event.preventDefault();
  look();
});
form.addEventListener("change", ({ target }) => {
  if (form.elements.colour.value && !["screen", "photo", "colour"].includes(target.id) && form.checkValidity()) look();
});
document.querySelector("#stop").addEventListener("click", () => {
  stop();
  say("Stopped: these are the best so far.");
});
addEventListener("popstate", () => location.reload());

for (const each of document.querySelectorAll(".script")) each.hidden = false;
if (form.elements.colour.value && !said.classList.contains("wrong") && !found.querySelector(".ways") && !isTouched(form.elements.colour)) look({ keep: false });
takeUp(form);
