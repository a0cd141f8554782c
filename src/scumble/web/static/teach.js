// A question by keyboard: 1 to 4 take an answer in hand, Enter gives it and goes on; and the colour that sliders point out.

const form = document.querySelector("form.answers");
const finer = document.querySelector("#finer");

function isTyping(target) {
  return target.closest("input:not([type=radio]), textarea, select") !== null;
}

if (form) {
  addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || isTyping(event.target)) return;
    const button = form.querySelector(`button[value="${CSS.escape(event.key)}"]`);
    if (!button) return;
    event.preventDefault();
    button.focus();
  });
}

const onward = document.querySelector("#onward");
if (onward) {
  addEventListener("keydown", (event) => {
    const isElsewhere = event.target.closest("a, button, input, summary") !== null;
    if (event.key !== "Enter" || event.ctrlKey || event.altKey || event.metaKey || isElsewhere) return;
    event.preventDefault();
    onward.click();
  });
}

// An answer is given once: a second press while the film is fetched changes nothing.
for (const each of document.querySelectorAll("form.answers, form.pointing")) {
  each.addEventListener("submit", (event) => {
    if (each.dataset.given) event.preventDefault();
    each.dataset.given = "yes";
  });
}
addEventListener("pageshow", () => {
  for (const each of document.querySelectorAll("[data-given]")) delete each.dataset.given;
});

const WHITE = [95.047, 100, 108.883];

/** sRGB, 0 to 255, of CIELAB lightness, chroma and hue angle under daylight; beyond the screen it is cut off. */
function lchToSrgb(lightness, chroma, hue) {
  const turn = (hue * Math.PI) / 180;
  const y = (lightness + 16) / 116;
  const root = [y + (chroma * Math.cos(turn)) / 500, y, y - (chroma * Math.sin(turn)) / 200];
  const [x, bright, z] = root.map((t, at) => (WHITE[at] / 100) * (t > 6 / 29 ? t ** 3 : (t - 4 / 29) * 3 * (6 / 29) ** 2));
  const linear = [
    3.2404542 * x - 1.5371385 * bright - 0.4985314 * z,
    -0.969266 * x + 1.8760108 * bright + 0.041556 * z,
    0.0556434 * x - 0.2040259 * bright + 1.0572252 * z,
  ];
  return linear.map((part) => {
    const kept = Math.min(Math.max(part, 0), 1);
    return Math.round(255 * (kept <= 0.0031308 ? 12.92 * kept : 1.055 * kept ** (1 / 2.4) - 0.055));
  });
}

if (finer) {
  const sliders = ["lightness", "chroma", "hue"].map((name) => document.getElementById(name));
  const said = document.querySelector("#finer-said");
  const shown = document.querySelector("#expected rect");
  const spots = [...document.querySelectorAll(".spot input")];
  finer.hidden = false;

  const show = () => {
    const parts = lchToSrgb(...sliders.map((each) => Number(each.value)));
    shown.setAttribute("fill", `#${parts.map((part) => part.toString(16).padStart(2, "0")).join("")}`);
  };
  const fromSpot = (spot) => {
    for (const [at, value] of spot.value.split(",").entries()) sliders[at].value = value;
    said.disabled = true;
    show();
  };
  for (const spot of spots) {
    spot.addEventListener("change", () => fromSpot(spot));
    if (spot.checked) fromSpot(spot);
  }
  for (const each of sliders) {
    each.addEventListener("input", () => {
      for (const spot of spots) {
        spot.checked = false;
        spot.required = false;
      }
      said.disabled = false;
      said.value = sliders.map((slider) => slider.value).join(",");
      show();
    });
  }
  show();
}
