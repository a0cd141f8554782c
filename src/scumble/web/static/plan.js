// The slider says in words where it stands.

const slider = document.querySelector("#manner-stop");

if (slider) {
  const stops = [...document.querySelectorAll(".stops li")];
  const say = () => {
    stops.forEach((stop, place) => stop.classList.toggle("here", place === Number(slider.value)));
    slider.setAttribute("aria-valuetext", stops[Number(slider.value)].querySelector("b").textContent);
  };
  slider.addEventListener("input", say);
  // What was chosen before this came counts as if it had been there.
  say();
  stops.forEach((stop, place) =>
    stop.addEventListener("click", () => {
      slider.value = place;
      say();
    }),
  );
}
