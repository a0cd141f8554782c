// Takes up what a person typed, chose or ticked on a page before its script was here.

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
    for (const field of fields.filter(isTouched)) {
      field.dispatchEvent(new Event("input", { bubbles: true }));
      if (!WRITTEN.test(field.type) || field !== document.activeElement) field.dispatchEvent(new Event("change", { bubbles: true }));
    }
  }
}
