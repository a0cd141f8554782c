// Finds while one types or narrows: asks the server for the same page and hangs its wall here.

import { takeUp } from "/static/already.js";
import { followTask } from "/static/task.js";

const field = document.querySelector("#find");
const form = field?.form;
let waiting = 0;
let asked = null;

async function hang(address, keepInHistory) {
  asked?.abort();
  asked = new AbortController();
  try {
    const answer = await fetch(address, { signal: asked.signal });
    if (!answer.ok) return location.assign(address);
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const open = document.querySelector(".narrow")?.open;
    document.querySelector("#wall").replaceWith(page.querySelector("#wall"));
    if (open) document.querySelector(".narrow").open = true;
    form.elements.order.value = page.querySelector("#finder [name=order]").value;
    for (const back of document.querySelectorAll("form.light input[name=back]")) back.value = address;
    if (keepInHistory) history.pushState(null, "", address);
    else history.replaceState(null, "", address);
    document.dispatchEvent(new Event("wall"));
    followWaiting();
  } catch (error) {
    if (error.name !== "AbortError") location.assign(address);
  }
}

function address() {
  const said = [...new FormData(form)].map(([name, value]) => [name, value.trim()]);
  return `/?${new URLSearchParams(said.filter(([, value]) => value))}`;
}

function followWaiting() {
  const waits = document.querySelector(".waits[data-task]");
  if (!waits?.dataset.task) return;
  followTask(waits.dataset.task, {
    progress: ({ share }) => { waits.lastElementChild.textContent = `${Math.round(100 * share)} % done.`; },
    done: () => { if (waits.isConnected) hang(address(), false); },
  });
}

field?.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(() => hang(address(), false), 120);
});

form?.addEventListener("submit", (event) => {
  event.preventDefault();
  clearTimeout(waiting);
  hang(address(), true);
});

document.addEventListener("change", async (event) => {
  const { name } = event.target;
  if (!event.target.closest(".choices")) return;
  await hang(address(), true);
  document.querySelector(`.choices [name="${CSS.escape(name)}"]`)?.focus();
});

document.addEventListener("click", async (event) => {
  const link = event.target.closest(".orders a, #count a, .leaves a");
  if (!link || event.metaKey || event.ctrlKey || event.shiftKey || event.button) return;
  event.preventDefault();
  const kind = link.closest(".orders") ? "order" : link.closest(".leaves") ? "leaf" : "all";
  const target = link.getAttribute("href");
  if (kind === "all") field.value = "";
  await hang(target, true);
  if (kind === "order") document.querySelector(".orders [aria-current]").focus();
  else if (kind === "all") field.focus();
  else {
    document.querySelector("#wall").scrollIntoView();
    document.querySelector(".wall a")?.focus({ preventScroll: true });
  }
});

addEventListener("popstate", () => location.reload());
if (form) {
  followWaiting();
  takeUp(form);
}
