// Keeps the picked tubes while one turns pages, narrows the wall or visits a tube, until the browser's tab is closed.

import { isTouched } from "/static/already.js";

const KEPT = "picks";
const MOST = 6;

function load() {
  try {
    return new Map(JSON.parse(sessionStorage.getItem(KEPT) ?? "[]"));
  } catch {
    return new Map();
  }
}

function save(picks) {
  sessionStorage.setItem(KEPT, JSON.stringify([...picks]));
}

function boxes() {
  return [...document.querySelectorAll("#beside .pick input")];
}

function draw(key, label, isHere) {
  const item = document.createElement("li");
  const back = document.createElement("button");
  back.type = "button";
  back.dataset.key = key;
  back.textContent = label;
  back.setAttribute("aria-label", `Put ${label} back`);
  item.append(back);
  if (!isHere) {
    const kept = document.createElement("input");
    Object.assign(kept, { type: "hidden", name: "paint", value: key });
    item.append(kept);
  }
  return item;
}

function show() {
  const bar = document.querySelector("#beside .picked");
  if (!bar) return;
  const picks = load();
  const here = new Set(boxes().map((box) => box.value));
  for (const box of boxes()) box.checked = picks.has(box.value);
  // The walk lies at the foot of the page too; the bar lies on it.
  bar.style.bottom = `${document.querySelector(".walk")?.offsetHeight ?? 0}px`;
  bar.classList.toggle("holds", picks.size > 0);
  bar.querySelector("ul").replaceChildren(...[...picks].map(([key, label]) => draw(key, label, here.has(key))));
  const said = bar.querySelector("span");
  if (!picks.size) said.textContent = "two to six tubes";
  else if (picks.size === 1) said.textContent = "one picked; one more, at least";
  else said.textContent = picks.size > MOST ? `${picks.size} picked; six have room` : `${picks.size} picked`;
  bar.querySelector("button:not([type])").disabled = picks.size > MOST;
}

function choose(ticked) {
  const picks = load();
  for (const box of ticked) {
    if (box.checked) picks.set(box.value, box.closest("li").querySelector("a").textContent);
    else picks.delete(box.value);
  }
  save(picks);
  show();
}

document.addEventListener("change", (event) => {
  const box = event.target;
  if (!box.matches?.("#beside .pick input")) return;
  choose([box]);
});

document.addEventListener("click", (event) => {
  const back = event.target.closest?.("#beside .picked li button");
  if (!back) return;
  const picks = load();
  picks.delete(back.dataset.key);
  save(picks);
  const place = [...back.closest("ul").children].indexOf(back.closest("li"));
  show();
  const left = document.querySelectorAll("#beside .picked li button");
  (left[Math.min(place, left.length - 1)] ?? document.querySelector("#beside .picked button")).focus();
});

// A page fetched back by the browser's own arrow comes with the boxes as they were, not as they are.
addEventListener("pageshow", show);
document.addEventListener("wall", show);
// Boxes that were ticked before this was here count as picked.
choose(boxes().filter(isTouched));
