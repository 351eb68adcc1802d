// The lesson's own: puts the players on their pictures, shows the answers, prints.

const pictures = JSON.parse(document.getElementById("pictures").textContent);
const players = [];

/** The frames of a record, unpacked once. */
function frames(record) {
  record.unpacked ??= framesOf(record.columns);
  return record.unpacked;
}

/** A player in a place, with the record of this name. */
function put(place, count) {
  const player = new Player(place, `p${count}-`);
  player.at = Number(place.dataset.at);
  const show = (name) => {
    const record = pictures[name === "chosen" ? pictures.chosen : name];
    if (record) record.motion.frames = frames(record);
    player.show(record, "There is no picture: this can't be cut here. The text says why.");
    place.dataset.shown = name;
  };
  show(place.dataset.picture);
  players.push(player);
  return { place, player, show };
}

const places = [...document.querySelectorAll("[data-picture]")].map(put);

// Pictures side by side are of one moment: either scrubber moves both.
for (const group of document.querySelectorAll(".pictures")) {
  const both = places.filter((one) => group.contains(one.place)).map((one) => one.player);
  for (const player of both) {
    player.scrub.addEventListener("input", () => {
      for (const other of both) {
        if (other === player || !other.record) continue;
        other.stop();
        other.seek(player.at);
      }
    });
  }
}

for (const button of document.querySelectorAll(".play-both")) {
  const both = places.filter((one) => button.closest(".pictures").contains(one.place)).map((one) => one.player);
  button.addEventListener("click", () => {
    for (const player of both) {
      player.stop();
      player.seek(0);
      player.start();
    }
  });
}

for (const group of document.querySelectorAll(".forces-tried")) {
  const shown = places.find((one) => group.contains(one.place));
  const buttons = [...group.querySelectorAll("button[data-shows]")];
  const warnings = [...group.querySelectorAll(".never")];
  for (const button of buttons)
    button.addEventListener("click", () => {
      for (const other of buttons) other.setAttribute("aria-pressed", String(other === button));
      for (const warning of warnings) warning.hidden = button.dataset.shows !== warning.dataset.of;
      shown.player.stop();
      shown.show(button.dataset.shows);
    });
}

// The bench is told of when every guess is made; the answer is that of the answers' part.
const guesses = [...document.querySelectorAll("#step-bench fieldset")];
const bench = document.getElementById("bench");
const guessed = () => {
  if (!guesses.every((guess) => guess.querySelector("input:checked")) || bench.dataset.waits === undefined) return;
  bench.dispatchEvent(new Event("guessed"));
  document.getElementById("bench-waits").hidden = true;
  document.getElementById("bench-drag").hidden = false;
  const [, ...told] = document.getElementById("answer-bench").children;
  document.getElementById("bench-told").append(...told.map((part) => part.cloneNode(true)));
  bench.parentElement.scrollIntoView({ block: "start" });
};
for (const guess of guesses) guess.addEventListener("change", guessed);
guessed();

const answers = document.getElementById("answers");
const asked = document.getElementById("show-answers");
asked.addEventListener("click", () => {
  answers.hidden = !answers.hidden;
  asked.setAttribute("aria-expanded", String(!answers.hidden));
  asked.textContent = answers.hidden ? "Show the answers" : "Hide the answers";
});
for (const button of document.querySelectorAll(".show-one")) {
  const step = button.closest(".step");
  const here = step.querySelector(".answer-here");
  button.addEventListener("click", () => {
    const shown = here.childElementCount > 0;
    const [, ...told] = document.getElementById(step.id.replace("step", "answer")).children;
    here.replaceChildren(...(shown ? [] : told.map((part) => part.cloneNode(true))));
    button.setAttribute("aria-expanded", String(!shown));
    button.textContent = shown ? "Show the answer" : "Hide the answer";
  });
}

const checked = JSON.parse(document.getElementById("checked").textContent);
document.documentElement.dataset.units = checked.units;
keeping(checked);
// A guess that was kept stands.
guessed();
screens(() => players.filter((player) => player.record).forEach((player) => player.draw()));

document.getElementById("print").addEventListener("click", () => window.print());
