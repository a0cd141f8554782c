// Points from an area of the card's photograph to its row in the list, and back.

const outlines = new Map();
for (const link of document.querySelectorAll(".photograph a")) outlines.set(link.getAttribute("href").slice(1), link);

for (const [name, link] of outlines) {
  const row = document.getElementById(name);
  if (!row) continue;
  for (const [from, to] of [[link, row], [row, link]]) {
    for (const begin of ["mouseenter", "focusin"]) from.addEventListener(begin, () => to.classList.add("shown"));
    for (const end of ["mouseleave", "focusout"]) from.addEventListener(end, () => to.classList.remove("shown"));
  }
}
