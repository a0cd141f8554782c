// Drops files on the tray and shows how far they are; the server reads them whether or not anybody looks.

const form = document.querySelector("#drop");
const input = form.elements.files;
const said = document.querySelector("#drop-said");
const MOST_BYTES = 120e6;

const PARCEL_BYTES = 200e6;
const PARCEL_FILES = 20;

// A class's cards are more than one request takes: they go in parcels, and the first are read while the last still come.
function parcels(files) {
  const packed = [[]];
  let bytes = 0;
  for (const file of files) {
    if (packed.at(-1).length && (bytes + file.size > PARCEL_BYTES || packed.at(-1).length === PARCEL_FILES)) {
      packed.push([]);
      bytes = 0;
    }
    packed.at(-1).push(file);
    bytes += file.size;
  }
  return packed;
}

let sending = false;

async function send(files) {
  const many = [...files];
  if (!many.length || sending) return;
  const large = many.find((file) => file.size > MOST_BYTES);
  if (large) return tell(`${large.name} is larger than 120 MB. Hand in a smaller copy.`);
  const whole = many.reduce((sum, file) => sum + file.size, 0) || 1;
  const name = many.length === 1 ? many[0].name : `${many.length} files`;
  let sent = 0;
  sending = true;
  try {
    for (const parcel of parcels(many)) {
      await hand(parcel, (loaded) => tell(`Handing in ${name}: ${Math.round((100 * (sent + loaded)) / whole)} %. ${many.length > 1 ? "Stay until it is done; after that you can leave." : ""}`));
      sent += parcel.reduce((sum, file) => sum + file.size, 0);
      await show().catch(() => {});
      follow();
    }
    tell("");
    form.reset();
    document.querySelector("#tray-title")?.scrollIntoView({ block: "nearest" });
  } catch (error) {
    tell(error.message);
  }
  sending = false;
}

// fetch cannot say how much of a form has gone; this older way can.
function hand(parcel, progress) {
  const body = new FormData();
  for (const file of parcel) body.append("files", file, file.name);
  return new Promise((done, fail) => {
    const request = new XMLHttpRequest();
    request.open("POST", "/cards");
    request.setRequestHeader("accept", "application/json");
    request.upload.addEventListener("progress", (event) => { if (event.lengthComputable) progress(Math.min(event.loaded, event.total)); });
    request.addEventListener("load", () => {
      let answer = {};
      try { answer = JSON.parse(request.responseText); } catch { answer = { words: "The answer could not be understood." }; }
      if (request.status >= 400) fail(new Error(answer.words ?? "It could not be taken in."));
      else done(answer);
    });
    request.addEventListener("error", () => fail(new Error("It could not be handed in. Is Scumble still open?")));
    request.send(body);
  });
}

addEventListener("beforeunload", (event) => { if (sending) event.preventDefault(); });

function tell(words) { said.textContent = words; }

form.addEventListener("submit", (event) => {
  if (!input.files.length) return;
  event.preventDefault();
  send(input.files);
});

// Anywhere on the page will do for a drop; the frame shows where it goes.
let over = 0;
for (const [name, by] of [["dragenter", 1], ["dragleave", -1]]) {
  addEventListener(name, (event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    over = Math.max(0, over + by);
    form.classList.toggle("over", over > 0);
  });
}
addEventListener("dragover", (event) => event.preventDefault());
addEventListener("drop", (event) => {
  event.preventDefault();
  over = 0;
  form.classList.remove("over");
  if (event.dataTransfer?.files.length) send(event.dataTransfer.files);
});

// Progress of each card; once one is over, or another came, the tray is fetched anew.
function states() {
  return JSON.stringify([...document.querySelectorAll("#tray .tray > li[data-key]")].filter((item) => !item.closest("details")).map((item) => [item.dataset.key, item.dataset.state]));
}

async function show() {
  const answer = await fetch("/cards");
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const open = [...document.querySelectorAll("#tray details")].map((each) => each.open);
  const focused = document.activeElement?.closest("#tray") ? document.activeElement.closest("li")?.dataset.key : null;
  document.querySelector("#tray").replaceWith(page.querySelector("#tray"));
  document.querySelectorAll("#tray details").forEach((each, at) => { each.open = open[at] ?? false; });
  if (focused) document.querySelector(`#tray [data-key="${focused}"] .open`)?.focus();
}

let stream = null;
let showing = false;
let wanted = "";

// Listened to only while something is still to be read: browsers keep few lines open to one server.
function follow() {
  const waits = document.querySelector('#tray .tray > li:is([data-state="waiting"], [data-state="running"])');
  if (!waits) return;
  stream ??= new EventSource("/cards/events");
  stream.onmessage = async (event) => {
    const now = JSON.parse(event.data);
    for (const card of now) {
      const item = document.querySelector(`#tray [data-key="${card.key}"]`);
      if (!item) continue;
      const bar = item.querySelector("progress");
      if (bar) bar.value = card.share;
      item.querySelector(".words").textContent = card.words;
    }
    const all = document.querySelector("#whole");
    if (all) all.value = now.reduce((sum, card) => sum + (["waiting", "running"].includes(card.state) ? card.share : 1), 0) / Math.max(now.length, 1);
    wanted = now.map((card) => `${card.key} ${card.state}`).sort().join();
    if (now.every((card) => !["waiting", "running"].includes(card.state))) leave();
    if (showing) return;
    showing = true;
    // A state that comes while the tray is being fetched is not in what is fetched: look again.
    for (let again = 0; there() !== wanted && again < 5; again += 1) await show().catch(() => {});
    showing = false;
  };
}

function there() {
  return JSON.parse(states()).map(([key, state]) => `${key} ${state}`).sort().join();
}

function leave() {
  stream?.close();
  stream = null;
}

addEventListener("pagehide", leave);
follow();
