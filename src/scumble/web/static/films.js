// The films of a form, as the server wants to be asked about them, and the slide that says how thick one is.

export const THINNEST = 0.01; // coats
export const THICKEST = 8;
export const amounts = { coats: 0.5, parts: 1, white: 0, second_parts: 0, medium: 0, water: 0 };

// Forms and addresses have the top film first, data has the lowest.
export function filmsOf(given) {
  const films = given.getAll("paint").map((paint, at) => {
    const film = { paint, second: given.getAll("second")[at] ?? "" };
    for (const [name, usual] of Object.entries(amounts)) {
      const number = Number.parseFloat(given.getAll(name)[at]);
      film[name] = Number.isFinite(number) ? number : usual;
    }
    return film;
  });
  return films.reverse();
}

// A slide goes from the thinnest to the thickest film in equal ratios.
const ENDS = Math.log(THICKEST / THINNEST);
export const placeOf = (coats) => Math.round((400 * Math.log(coats / THINNEST)) / ENDS);
export const coatsAt = (place) => Number((THINNEST * Math.exp((ENDS * place) / 400)).toPrecision(3));
export const sayCoats = (coats) => `${coats} coat${coats > 1 ? "s" : ""}`;
