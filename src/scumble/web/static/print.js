// Shows the sheet anew whenever something about it is changed; the server draws it, this only asks.

import { takeUp } from "/static/already.js";
import { offerPaints } from "/static/pick.js";
import { findTasks, followTask } from "/static/task.js";

const form = document.querySelector("#wanted");
const said = document.createElement("p");
let waiting = 0;
let turnsKind = false;
let asked = null;
let followed = null;

function query(more = {}) {
  const words = new URLSearchParams();
  for (const [name, value] of new FormData(form)) if (value && name !== "add") words.append(name, value);
  for (const [name, value] of Object.entries(more)) words.append(name, value);
  return words;
}

// Paints and numbers belong to the kind they were chosen for.
function forAnotherKind() {
  const words = new URLSearchParams({ kind: form.elements.kind.value });
  for (const name of ["turned", "profile", "intent"]) if (form.elements[name].value) words.set(name, form.elements[name].value);
  return words;
}

async function show(words, whole = false) {
  asked?.abort();
  followed?.leave();
  asked = new AbortController();
  const look = document.querySelector("#look");
  look.setAttribute("aria-busy", "true");
  said.textContent = "Drawing the sheet";
  const address = `/print?${words}`;
  try {
    const answer = await fetch(address, { signal: asked.signal });
    if (!answer.headers.get("content-type")?.includes("text/html")) return location.assign(address);
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    look.replaceWith(page.querySelector("#look"));
    document.querySelector("#chosen").replaceWith(page.querySelector("#chosen"));
    document.querySelector("#hand-in [name=query]").value = page.querySelector("#hand-in [name=query]").value;
    document.querySelector(".add label").textContent = page.querySelector(".add label").textContent;
    for (const option of form.querySelectorAll("[data-option]")) {
      const fresh = page.querySelector(`[data-option="${option.dataset.option}"]`);
      if (whole) option.replaceWith(fresh);
      else option.hidden = fresh.hidden;
    }
    if (whole) form.elements.page.replaceWith(page.querySelector("#page"));
    for (const field of form.querySelectorAll("input[id]")) {
      const fresh = page.getElementById(field.id);
      for (const name of ["aria-invalid", "aria-describedby"]) {
        if (fresh?.hasAttribute(name)) field.setAttribute(name, fresh.getAttribute(name));
        else field.removeAttribute(name);
      }
    }
    for (const back of document.querySelectorAll("form.light input[name=back]")) back.value = address;
    history.replaceState(null, "", address);
    const wrong = document.querySelector("#wrong");
    said.textContent = wrong ? "" : document.querySelector(".take span")?.textContent ?? "";
    drawLarge();
  } catch (error) {
    if (error.name !== "AbortError") location.assign(address);
  }
}

// A large chart is drawn while the page stays of use; a page that comes back finds its task again.
async function drawLarge() {
  const waits = document.querySelector("#waits");
  if (!waits) return;
  const query = document.querySelector("#look").dataset.query;
  const kept = JSON.parse(sessionStorage.getItem("print-task") ?? "null");
  const running = (await findTasks("print")).find((task) => task.id === kept?.task && kept.query === query && !["done", "failed", "cancelled"].includes(task.state));
  const { task } = running ? kept : await fetch(`/print/draw?${query}`, { method: "POST" }).then((answer) => answer.json());
  sessionStorage.setItem("print-task", JSON.stringify({ task, query }));
  const stop = waits.querySelector("#stop");
  stop.hidden = false;
  waits.querySelector(".onward").hidden = true;
  const stage = waits.querySelector("#stage");
  followed = followTask(task, {
    progress: ({ share, words }) => {
      waits.querySelector("#share").value = share;
      stage.textContent = words;
    },
    done: () => show(new URLSearchParams(query)),
    failed: (sentence) => {
      stage.textContent = sentence;
      stop.hidden = true;
      waits.querySelector(".onward").hidden = false;
    },
  });
  stop.addEventListener("click", () => followed.cancel());
}

if (form) {
  document.documentElement.classList.add("live");
  said.setAttribute("role", "status");
  said.className = "unseen";
  form.append(said);

  form.addEventListener("change", (event) => {
    if (event.target.id === "add") return;
    turnsKind ||= event.target.name === "kind";
    clearTimeout(waiting);
    waiting = setTimeout(() => {
      const turned = turnsKind;
      turnsKind = false;
      show(turned ? forAnotherKind() : query(), turned);
    }, turnsKind ? 0 : 60);
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const drop = event.submitter?.name === "drop" ? event.submitter.value : null;
    const add = form.elements.add.value.trim();
    form.elements.add.value = "";
    show(query(drop ? { drop } : add ? { add } : {})).then(() => drop && form.elements.add.focus());
  });
  offerPaints(form.elements.add, (label) => {
    form.elements.add.value = "";
    show(query({ add: label }));
  });
  // A name typed in full counts even when its list is not open yet.
  form.elements.add.addEventListener("keydown", (event) => {
    const field = form.elements.add;
    const add = field.value.trim();
    if (event.key !== "Enter" || !add || field.getAttribute("aria-expanded") === "true") return;
    field.value = "";
    field.blur();
    show(query({ add })).then(() => field.focus());
  });
  drawLarge();
  takeUp(form);
}
