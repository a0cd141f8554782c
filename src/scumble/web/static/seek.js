// The stroke "/" leads to the field that finds paints, from wherever one is on a page.

const WRITES = "input, textarea, select, [contenteditable]";

addEventListener("keydown", (event) => {
  if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.target instanceof Element && event.target.closest(WRITES)) return;
  const field = document.querySelector("#find") ?? document.querySelector("#seek");
  if (!field) return;
  event.preventDefault();
  field.focus();
  field.select();
});
