// Finds while one types: asks the server for the same page and hangs its wall here.

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
    document.querySelector("#wall").replaceWith(page.querySelector("#wall"));
    form.elements.order.value = page.querySelector("form.finder").elements.order.value;
    for (const back of document.querySelectorAll("form.light input[name=back]")) back.value = address;
    if (keepInHistory) history.pushState(null, "", address);
    else history.replaceState(null, "", address);
  } catch (error) {
    if (error.name !== "AbortError") location.assign(address);
  }
}

function address() {
  const words = new URLSearchParams({ order: form.elements.order.value });
  if (field.value.trim()) words.set("find", field.value.trim());
  return `/?${words}`;
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

document.addEventListener("click", async (event) => {
  const link = event.target.closest(".orders a, #count a");
  if (!link || event.metaKey || event.ctrlKey || event.shiftKey || event.button) return;
  event.preventDefault();
  const wasOrder = link.closest(".orders") !== null;
  const target = link.getAttribute("href");
  if (!wasOrder) field.value = "";
  await hang(target, true);
  (wasOrder ? document.querySelector(".orders [aria-current]") : field).focus();
});

addEventListener("popstate", () => location.reload());
