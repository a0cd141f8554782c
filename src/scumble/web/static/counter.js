// Goes back to the first question when nobody has touched the tablet for a while; asks before it does.

const AFTER_S = 90;
const ASK_S = 20;
const still = document.querySelector("#still");
const left = document.querySelector("#left");
const isFirst = location.pathname === "/counter" && !location.search;
let quiet = 0;

function touched() {
  quiet = 0;
  if (still.open) still.close();
}

function tick() {
  quiet += 1;
  if (isFirst) {
    if (quiet === AFTER_S) scrollTo(0, 0);
    return;
  }
  if (quiet >= AFTER_S + ASK_S) location.assign("/counter");
  else if (quiet >= AFTER_S) {
    left.textContent = AFTER_S + ASK_S - quiet;
    if (!still.open) still.showModal();
  }
}

for (const event of ["pointerdown", "keydown", "wheel", "touchstart"]) addEventListener(event, touched, { passive: true });
document.querySelector("#stay").addEventListener("click", touched);
setInterval(tick, 1000);
