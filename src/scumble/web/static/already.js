// Takes up what a person typed, chose or ticked while no script listened: before it came, or while the server laid a
// form out anew.

const WRITTEN = /^(text|search|number|url|email|tel|password|textarea)$/;

// Whether a field says something else than the server wrote into it.
export function isTouched(field) {
  if (field.type === "radio") return field.checked && !field.defaultChecked;
  if (field.type === "checkbox") return field.checked !== field.defaultChecked;
  if (field.type === "file") return field.files.length > 0;
  if (field.type === "select-one") {
    const written = [...field.options].findIndex((option) => option.defaultSelected);
    return field.selectedIndex !== Math.max(written, 0);
  }
  return "defaultValue" in field && field.type !== "hidden" && field.value !== field.defaultValue;
}

// Says it again, now that somebody listens. A field that is still being written in is not left by this.
export function takeUp(...places) {
  for (const place of places.filter(Boolean)) {
    // What has no name is no part of what a form says: a script's own slides.
    const fields = place.elements ? [...place.elements].filter((field) => field.name) : [place];
    for (const field of fields.filter(isTouched)) say(field);
  }
}

function say(field) {
  field.dispatchEvent(new Event("input", { bubbles: true }));
  if (!WRITTEN.test(field.type) || field !== document.activeElement) field.dispatchEvent(new Event("change", { bubbles: true }));
}

const isTicked = (field) => field.type === "radio" || field.type === "checkbox";
const state = (field) => (isTicked(field) ? field.checked : field.value);

// What stands in a form when the server is asked for another in its place, and what was changed there since.
export function standing(form) {
  const named = () => [...form.elements].filter((field) => field.name && field.id);
  const then = new Map(named().map((field) => [field.id, state(field)]));
  const isSaid = (field) => then.get(field.id) !== state(field) && (field.type !== "radio" || field.checked);
  return { changes: () => named().filter(isSaid).map((field) => [field.id, state(field)]) };
}

// Changes of the old form go on in the new one.
export function carry(changes, form) {
  const moved = changes.filter(([id]) => form.elements[id]).map(([id, said]) => [form.elements[id], said]);
  for (const [field, said] of moved) field[isTicked(field) ? "checked" : "value"] = said;
  for (const [field] of moved) say(field);
}
