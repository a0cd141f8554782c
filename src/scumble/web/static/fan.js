// Shows at once what a film looks like while it is dragged: between colours that were fetched when the drag began.
// What is shown is replaced by the bench's own answer as soon as that comes.

const GROUNDS = ["chosen", "white", "black", "grey"];
let fan = null;

const channels = (colour) => [1, 3, 5].map((at) => Number.parseInt(colour.slice(at, at + 2), 16));
const write = (rgb) => `#${rgb.map((each) => Math.round(each).toString(16).padStart(2, "0")).join("")}`;

export function closeFan() {
  fan = null;
}

// Asked for when a film is taken hold of; it holds while nothing else changes.
export async function openFan(film, layering) {
  if (fan?.film === film) return;
  const mine = (fan = { film, colours: null });
  const answer = await fetch("/layers/fan", {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ layering, film }),
  });
  if (!answer.ok) return;
  const { coats, ...colours } = await answer.json();
  mine.start = Math.log(coats[0]);
  mine.step = Math.log(coats[1]) - mine.start;
  mine.colours = Object.fromEntries(GROUNDS.map((ground) => [ground, colours[ground].map(channels)]));
  performance.mark("fan");
}

// Screen colours on the four grounds, or nothing where none were fetched yet.
export function spread(film, coats) {
  if (fan?.film !== film || !fan.colours) return null;
  const place = (Math.log(coats) - fan.start) / fan.step;
  const between = (row) => {
    const at = Math.min(Math.max(Math.floor(place), 0), row.length - 2);
    return write(row[at].map((each, i) => each + (row[at + 1][i] - each) * Math.min(Math.max(place - at, 0), 1)));
  };
  return Object.fromEntries(GROUNDS.map((ground) => [ground, between(fan.colours[ground])]));
}
