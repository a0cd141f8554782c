// A file that is dropped is looked at at once; a long list shows how far it is.

import { takeUp } from "/static/already.js";
import { followTask } from "/static/task.js";

const file = document.querySelector("#file");
file?.addEventListener("change", () => { if (file.files.length) file.form.requestSubmit(); });
takeUp(file);

const waits = document.querySelector("[data-task]");
if (waits?.dataset.task) {
  followTask(waits.dataset.task, {
    progress: ({ share, words }) => {
      waits.querySelector("progress").value = share;
      waits.firstElementChild.textContent = `${words}.`;
    },
    done: () => location.reload(),
    failed: () => location.reload(),
  });
}
