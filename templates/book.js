// Only makes the book searchable; without it the book is all there, and the browser's own search works as ever.
"use strict";
const box = document.getElementById("find");
const input = document.getElementById("find-text");
const result = document.getElementById("find-result");
const plain = (text) => text.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").replace(/\s+/g, " ").toLowerCase();
// An entry is also found by the headings above it: its assembly and its date. What holds entries goes with the last of them.
const entries = [...document.querySelectorAll("[data-find]")].map((node) => {
  let text = node.textContent;
  for (let above = node.closest("[data-keep]"); above; above = above.parentElement.closest("[data-keep]")) {
    text += ` ${above.querySelector(":scope > :is(h3, h4, .head, .kind, summary)")?.textContent ?? ""}`;
  }
  return { node, text: plain(text) };
});
const opened = new Set();

function find() {
  const wanted = plain(input.value).trim().split(" ").filter(Boolean);
  let count = 0;
  for (const { node, text } of entries) {
    const hit = wanted.every((word) => text.includes(word));
    node.hidden = !hit;
    count += hit ? 1 : 0;
  }
  for (const node of document.querySelectorAll("[data-keep]")) {
    node.hidden = wanted.length > 0 && !node.querySelector("[data-find]:not([hidden])");
    if (node.localName !== "details") continue;
    if (wanted.length && !node.hidden && !node.open) opened.add(node);
    if (opened.has(node)) node.open = wanted.length > 0;
    if (!wanted.length) opened.delete(node);
  }
  document.body.classList.toggle("finding", wanted.length > 0);
  result.textContent = wanted.length ? `${count} found` : "";
}

box.hidden = false;
input.addEventListener("input", find);
input.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  input.value = "";
  find();
});
if (input.value) find();
