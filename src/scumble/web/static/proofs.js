// A photograph can be dropped, and many boxes ticked at once; without this the page does the same more slowly.

const drop = document.querySelector("#drop");
const input = drop.elements.file;
const said = document.querySelector("#drop-said");

function hasFiles(event) { return [...(event.dataTransfer?.types ?? [])].includes("Files"); }

for (const kind of ["dragenter", "dragover"]) {
  drop.addEventListener(kind, (event) => {
    if (!hasFiles(event)) return;
    event.preventDefault();
    drop.classList.add("over");
  });
}
drop.addEventListener("dragleave", (event) => { if (!drop.contains(event.relatedTarget)) drop.classList.remove("over"); });
drop.addEventListener("drop", (event) => {
  if (!hasFiles(event)) return;
  event.preventDefault();
  drop.classList.remove("over");
  if (event.dataTransfer.files.length > 1) {
    said.textContent = "One file at a time, please.";
    return;
  }
  input.files = event.dataTransfer.files;
  drop.requestSubmit();
});
drop.addEventListener("submit", () => { said.textContent = `Reading ${input.files[0]?.name ?? "it"}; a large photograph takes some seconds.`; });

const sheet = document.querySelector("#sheet");
const all = document.querySelector("#tick-all");
if (all) {
  all.hidden = false;
  all.addEventListener("click", () => {
    const boxes = [...sheet.querySelectorAll('input[name="proof"]:not(:disabled)')];
    const tick = boxes.some((box) => !box.checked);
    for (const box of boxes) box.checked = tick;
  });
}
