// Finds a paint while one types: a list under the field, each paint with its masstone and its thin film.

const SVG = "http://www.w3.org/2000/svg";
const MOST = 60;
let paints = null;
let opened = 0;

function fetchPaints() {
  paints ??= fetch("/layers/paints").then((answer) => answer.json()).catch((error) => {
    paints = null; // asked for again with the next stroke
    throw error;
  });
  return paints;
}

function matches(paint, words) {
  return words.every((word) => paint.words.some((own) => own.startsWith(word)));
}

function find(all, text) {
  const words = text.toLowerCase().match(/[\p{L}\p{N}]+(?:[-:][\p{L}\p{N}]+)*/gu) ?? [];
  return all.filter((paint) => matches(paint, words)).slice(0, MOST);
}

function draw(paint, id) {
  const item = document.createElement("li");
  item.id = id;
  item.role = "option";
  item.setAttribute("aria-selected", "false");
  const chip = document.createElementNS(SVG, "svg");
  chip.setAttribute("aria-hidden", "true");
  for (const [x, colour] of [["0", paint.masstone], ["50%", paint.thin]]) {
    const half = document.createElementNS(SVG, "rect");
    for (const [name, value] of Object.entries({ x, width: "50%", height: "100%", fill: colour })) half.setAttribute(name, value);
    chip.append(half);
  }
  const name = document.createElement("span");
  name.textContent = paint.label;
  const more = document.createElement("small");
  more.textContent = [paint.pigments.join(" "), paint.mark].filter(Boolean).join(", ");
  item.append(chip, name, more);
  item.dataset.label = paint.label;
  return item;
}

export function offerPaints(input, choose) {
  const list = document.createElement("ul");
  const before = input.defaultValue; // another word may stand there already
  list.id = `offers-${++opened}`;
  list.className = "offers";
  list.role = "listbox";
  list.setAttribute("aria-label", "Paints of the shelf");
  list.hidden = true;
  input.parentElement.append(list);
  input.removeAttribute("list");
  for (const [name, value] of Object.entries({ role: "combobox", "aria-autocomplete": "list", "aria-expanded": "false", "aria-controls": list.id })) input.setAttribute(name, value);
  let at = -1;

  const close = () => {
    list.hidden = true;
    at = -1;
    input.setAttribute("aria-expanded", "false");
    input.removeAttribute("aria-activedescendant");
  };

  let asked = 0;
  const open = async (text) => {
    const mine = ++asked;
    const found = find(await fetchPaints(), text);
    // Somebody typed on while the paints came.
    if (mine !== asked || document.activeElement !== input) return;
    list.replaceChildren(...found.map((paint, number) => draw(paint, `${list.id}-${number}`)));
    if (!found.length) {
      const none = document.createElement("li");
      none.className = "none";
      none.textContent = "No paint answers to all of these words.";
      list.append(none);
    }
    list.hidden = false;
    at = -1;
    input.setAttribute("aria-expanded", "true");
    input.removeAttribute("aria-activedescendant");
  };

  const point = (to) => {
    const items = list.querySelectorAll("[role=option]");
    if (!items.length) return;
    items[at]?.setAttribute("aria-selected", "false");
    at = (to + items.length) % items.length;
    items[at].setAttribute("aria-selected", "true");
    items[at].scrollIntoView({ block: "nearest" });
    input.setAttribute("aria-activedescendant", items[at].id);
  };

  const take = (item) => {
    const label = item.dataset.label;
    close();
    choose(label);
  };

  input.addEventListener("focus", () => input.select());
  input.addEventListener("click", () => list.hidden && open(""));
  input.addEventListener("input", () => open(input.value));
  input.addEventListener("blur", () => {
    close();
    if (input.id === "lay" || input.id === "dry" || input.value === before) return;
    if (input.name === "second" && !input.value.trim()) choose("");
    else input.value = before;
  });
  input.addEventListener("keydown", async (event) => {
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      if (list.hidden) await open(input.value === before ? "" : input.value);
      point(event.key === "ArrowDown" ? at + 1 : at < 0 ? -1 : at - 1);
    } else if (event.key === "Enter") {
      event.preventDefault();
      const items = list.querySelectorAll("[role=option]");
      if (!list.hidden && items.length) take(items[Math.max(at, 0)]);
      else if (input.name === "second" && !input.value.trim()) choose("");
      else if (input.id === "lay" && input.value.trim()) choose(input.value); // typed faster than the list came
    } else if (event.key === "Escape" && !list.hidden) {
      event.stopPropagation();
      close();
      if (input.id !== "lay") input.value = before;
    }
  });
  list.addEventListener("pointerdown", (event) => event.preventDefault());
  list.addEventListener("click", (event) => {
    const item = event.target.closest("[role=option]");
    if (item) take(item);
  });
}
