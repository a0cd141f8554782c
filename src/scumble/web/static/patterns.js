// Says how large things really are, as the style sheets made them, and lays the film again.

for (const slot of document.querySelectorAll("[data-measures]")) {
  const style = getComputedStyle(document.getElementById(slot.dataset.measures));
  slot.textContent = `${Math.round(parseFloat(style.fontSize) * 10) / 10} px, ${style.fontWeight}`;
}
for (const slot of document.querySelectorAll("[data-measures-width]")) {
  const bar = document.querySelector(`.${slot.dataset.measuresWidth}`);
  slot.textContent = `${Math.round(bar.getBoundingClientRect().width)} px here`;
}

const film = document.querySelector("#settling");
const again = document.querySelector("#lay-again");
const still = matchMedia("(prefers-reduced-motion: reduce)");

function lay() {
  film.classList.remove("laid");
  void film.getBoundingClientRect();
  film.classList.add("laid");
}

again.hidden = still.matches;
still.addEventListener("change", () => { again.hidden = still.matches; });
again.addEventListener("click", lay);
new IntersectionObserver((seen, watch) => {
  if (!seen.some((each) => each.isIntersecting)) return;
  watch.disconnect();
  lay();
}, { threshold: 0.6 }).observe(film);
