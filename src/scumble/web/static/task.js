// Follow long work: a task goes on while nobody looks, and is found again by the page that comes back to it.

const OVER = ["done", "failed", "cancelled"];

// Calls progress({share, words, state}), then done(result) or failed(sentence, state); returns how to look away or stop it.
export function followTask(id, { progress = () => {}, done = () => {}, failed = () => {} } = {}) {
  const address = `/tasks/${encodeURIComponent(id)}`;
  const source = new EventSource(`${address}/events`);
  let over = false;
  const see = (task) => {
    if (over) return;
    progress(task);
    if (!OVER.includes(task.state)) return;
    over = true;
    source.close();
    if (task.state === "done") done(task.result);
    else failed(task.error || "It was stopped.", task.state);
  };
  source.addEventListener("message", (event) => see(JSON.parse(event.data)));
  source.addEventListener("error", () => {
    // A stream that ended is taken up again by the browser; one that was refused is not.
    if (!over && source.readyState === EventSource.CLOSED) {
      over = true;
      failed("This task is not known any more; begin it anew.", "lost");
    }
  });
  return {
    leave: () => { over = true; source.close(); },
    cancel: () => fetch(`${address}/cancel`, { method: "POST" }),
  };
}

// Tasks of a kind that are known to the server, oldest first: what a page began before it was left.
export async function findTasks(kind) {
  const answer = await fetch(`/tasks?kind=${encodeURIComponent(kind)}`, { headers: { accept: "application/json" } });
  return answer.ok ? answer.json() : [];
}
