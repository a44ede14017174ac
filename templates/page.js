// Only makes things handier: without it every link still leads to its words, and a time opens the recording there.
"use strict";
const player = document.getElementById("player");

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
  if (link.dataset.play !== undefined && player && !player.error) {
    event.preventDefault();
    player.currentTime = Number(link.hash.replace("#t=", ""));
    player.play();
  }
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
