// Follows work that was begun until it is over; the page that comes back to it finds it again.

import { followTask } from "/static/task.js";

const search = document.querySelector("#search");

if (search) {
  // The form may be taller than the screen: how far the work is must not lie below it unseen.
  search.scrollIntoView({ block: "center", behavior: "instant" });
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
