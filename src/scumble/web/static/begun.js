// Follows work that was begun until it is over; the page that comes back to it finds it again.

import { followTask } from "/static/task.js";

const search = document.querySelector("#search");

if (search) {
  const task = followTask(search.dataset.task, {
    progress: ({ share, words }) => {
      document.querySelector("#share").value = share;
      document.querySelector("#stage").textContent = words;
    },
    done: () => location.reload(),
    failed: () => location.reload(),
  });
  const stop = document.querySelector("#stop");
  stop.hidden = false;
  stop.addEventListener("click", () => task.cancel());
}
