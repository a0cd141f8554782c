// Keeps one picture and what was done to it in this browser, so that leaving the page loses nothing.

const open = () =>
  new Promise((done, fail) => {
    const asked = indexedDB.open("scumble-painting", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("kept");
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error);
  });

async function within(mode, work) {
  const shelf = await open();
  try {
    return await new Promise((done, fail) => {
      const asked = work(shelf.transaction("kept", mode).objectStore("kept"));
      asked.onsuccess = () => done(asked.result);
      asked.onerror = () => fail(asked.error);
    });
  } finally {
    shelf.close();
  }
}

// Where a browser keeps nothing (private windows), the page works on without.
export const keepPicture = (kept) => within("readwrite", (store) => store.put(kept, "now")).catch(() => undefined);
export const fetchPicture = () => within("readonly", (store) => store.get("now")).catch(() => undefined);
export const forgetPicture = () => within("readwrite", (store) => store.delete("now")).catch(() => undefined);
