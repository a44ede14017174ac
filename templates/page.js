// Only makes things handier: without it every link still leads to its words, and a time opens the recording there.
"use strict";

function playerOf(link) {
  const player = document.getElementById(`${link.dataset.play}player`);
  return player && !player.error ? player : null;
}

function showWords(link) {
  for (const old of document.querySelectorAll(".shown")) old.classList.remove("shown");
  const [, prefix, first] = link.hash.match(/^#(.*)w(\d+)$/);
  for (let word = Number(first); word < Number(link.dataset.until); word += 1) {
    const place = document.getElementById(`${prefix}w${word}`);
    if (place) (place.closest(".corr") || place).classList.add("shown");
  }
}

document.addEventListener("click", (event) => {
  const link = event.target.closest("a");
  if (!link) return;
  if (link.dataset.until) showWords(link);
  const player = link.dataset.play === undefined ? null : playerOf(link);
  if (!player) return;
  event.preventDefault();
  player.currentTime = Number(link.hash.replace("#t=", ""));
  player.play();
});

// WCAG 1.4.13: what appears on hover or focus can be sent away.
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") document.body.classList.add("calm");
});
for (const kind of ["pointermove", "focusin"]) {
  document.addEventListener(kind, (event) => {
    if (!event.target.closest?.(".corr")) document.body.classList.remove("calm");
  });
}

// Media events do not bubble, so they are caught on the way down. One recording plays at a time.
document.addEventListener("play", (event) => {
  for (const other of document.querySelectorAll("audio, video")) {
    if (other !== event.target) other.pause();
    other.parentElement.classList.toggle("playing", other === event.target);
  }
}, true);
