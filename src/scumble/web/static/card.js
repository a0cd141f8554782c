// One card: follows its reading, shows at once what a decision changes, and places an instrument's samples by clicking.

import { takeUp } from "/static/already.js";

const card = document.querySelector("#card");
const key = card.dataset.key;
document.documentElement.classList.add("live");

if (["waiting", "running"].includes(card.dataset.state)) {
  const stream = new EventSource("/cards/events");
  stream.addEventListener("message", (event) => {
    const now = JSON.parse(event.data).find((each) => each.key === key);
    const bar = card.querySelector(".told progress");
    if (!now || !bar) return;
    bar.value = now.share;
    document.querySelector("#reading").textContent = now.words;
    if (!["waiting", "running"].includes(now.state)) {
      stream.close();
      location.reload();
    }
  });
  addEventListener("pagehide", () => stream.close());
}

// An outline and its row show each other.
function point() {
  for (const link of document.querySelectorAll(".found a")) {
    const row = document.getElementById(link.getAttribute("href").slice(1));
    if (!row) continue;
    for (const [from, to] of [[link, row], [row, link]]) {
      for (const begin of ["mouseenter", "focusin"]) from.addEventListener(begin, () => to.classList.add("shown"));
      for (const end of ["mouseleave", "focusout"]) from.addEventListener(end, () => to.classList.remove("shown"));
    }
  }
}
point();

const form = document.querySelector("#judge");
let asked = null;

async function judge() {
  asked?.abort();
  asked = new AbortController();
  const words = new URLSearchParams(new FormData(form));
  words.set("do", "apply");
  const parts = ["#found", "#said", "#areas", "#retake"];
  document.querySelector("#areas").setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(form.action, { method: "POST", body: words, signal: asked.signal });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const focused = document.activeElement?.id;
    for (const part of parts) {
      const [old, fresh] = [document.querySelector(part), page.querySelector(part)];
      if (old && fresh) old.replaceWith(fresh);
    }
    if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
    showWrong(page.querySelector("#wrong"));
    document.title = page.title;
    document.querySelector("h1").textContent = page.querySelector("h1").textContent;
    point();
  } catch (error) {
    if (error.name !== "AbortError") location.reload();
  }
}

function showWrong(wrong) {
  document.querySelector("#wrong")?.remove();
  if (wrong) card.prepend(wrong);
}

form?.addEventListener("change", (event) => { if (event.target.type !== "file") judge(); });
form?.addEventListener("submit", () => asked?.abort());
// Enter in a field looks again; only the button keeps.
form?.addEventListener("keydown", (event) => {
  if (event.key !== "Enter" || !event.target.matches("input")) return;
  event.preventDefault();
  judge();
});

takeUp(form);

// Samples: choose one, click its area; the next without an area is chosen by itself.
const placing = document.querySelector(".placing");
if (placing) {
  const selects = [...placing.querySelectorAll("select")];
  const areas = new Map([...placing.querySelectorAll("[data-area]")].map((link) => [link.dataset.area, link]));
  const said = document.querySelector("#placing-said");
  let chosen = selects.find((select) => !select.value) ?? selects[0];

  const name = (select) => select.closest("li").querySelector("label").firstChild.textContent.trim();
  const show = () => {
    for (const [area, link] of areas) {
      const here = selects.map((select, at) => [select, at]).filter(([select]) => select.value === area);
      link.classList.toggle("taken", here.length > 0);
      link.classList.toggle("shown", chosen?.value === area);
      link.querySelector("text").textContent = here.map(([, at]) => at + 1).join(" ");
    }
    for (const select of selects) select.closest("li").classList.toggle("shown", select === chosen);
  };
  const choose = (select) => { chosen = select; show(); };
  for (const select of selects) {
    select.addEventListener("focus", () => choose(select));
    select.addEventListener("change", show);
  }
  const place = (link) => {
    if (!chosen) return;
    chosen.value = link.dataset.area;
    const next = selects.find((select) => !select.value);
    said.textContent = `${name(chosen)} was read on: ${link.getAttribute("aria-label")}.${next ? ` Next: ${name(next)}.` : " Every sample has its place."}`;
    choose(next ?? chosen);
  };
  for (const link of areas.values()) {
    link.addEventListener("click", (event) => { event.preventDefault(); place(link); });
    link.addEventListener("keydown", (event) => { if (event.key === " ") { event.preventDefault(); place(link); } });
  }
  document.querySelector("#layout").addEventListener("change", (event) => event.target.form.requestSubmit());
  show();
  takeUp(document.querySelector("#layout"));
}

// Corners of a target: pointed at one after the other on the picture, in its own points.
const pointer = document.querySelector("#point");
if (pointer && document.querySelector("#found")) {
  const input = document.querySelector("#corners");
  const help = document.querySelector("#corners-help");
  const before = help.textContent;
  const CORNERS = ["the first patch", "the end of the first row", "the last patch", "the start of the last row"];
  let points = null;
  pointer.hidden = false;

  const show = () => {
    const found = document.querySelector("#found");
    // The target lies beside the card: while it is pointed at, all of the picture is shown.
    const svg = found.querySelector("svg");
    if (svg) {
      svg.dataset.view ??= svg.getAttribute("viewBox");
      svg.setAttribute("viewBox", points === null ? svg.dataset.view : `0 0 1000 ${svg.querySelector("image").getAttribute("height")}`);
    }
    found.classList.toggle("pointed", points !== null);
    pointer.setAttribute("aria-pressed", String(points !== null));
    help.setAttribute("role", "status");
    help.textContent = points === null ? before : `Click the outer corner of ${CORNERS[points.length]} on the picture. Escape stops.`;
    if (points !== null) found.scrollIntoView({ block: "nearest" });
  };
  const place = (event) => {
    const svg = document.querySelector("#found svg");
    if (svg) {
      const there = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
      return [there.x, there.y].map((at) => Math.round((at * card.dataset.width) / 1000));
    }
    const seen = document.querySelector("#found img").getBoundingClientRect();
    const share = Math.min(seen.width / card.dataset.width, seen.height / card.dataset.height);
    return [event.clientX - seen.left, event.clientY - seen.top].map((at) => Math.round(at / share));
  };
  pointer.addEventListener("click", () => { points = points === null ? [] : null; show(); });
  document.querySelector("#found").parentElement.addEventListener("click", (event) => {
    if (points === null || !event.target.closest("#found svg, #found img")) return;
    event.preventDefault();
    points.push(place(event).join(","));
    input.value = points.join(" ");
    if (points.length === CORNERS.length) points = null;
    show();
    if (points === null) input.focus();
  }, true);
  addEventListener("keydown", (event) => { if (event.key === "Escape" && points !== null) { points = null; show(); } });
}
