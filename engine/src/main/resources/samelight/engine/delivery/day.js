"use strict";
const pictures = [...document.querySelectorAll(".pictures a")];
const viewer = document.querySelector("dialog");
const large = viewer.querySelector("img");
const caption = viewer.querySelector("p");
let at = 0;

function show(index) {
  at = Math.max(0, Math.min(pictures.length - 1, index));
  const small = pictures[at].querySelector("img");
  large.alt = small.alt;
  large.src = pictures[at].href;
  caption.textContent = pictures[at].dataset.name + " \u2013 " + small.alt;
  const ahead = pictures[at + 1];
  if (ahead) {
    new Image().src = ahead.href;
  }
}

function focus(index) {
  const to = pictures[Math.max(0, Math.min(pictures.length - 1, index))];
  to.focus();
  to.scrollIntoView({ block: "nearest" });
}

const steps = {
  ArrowRight: () => at + 1,
  ArrowDown: () => at + 1,
  ArrowLeft: () => at - 1,
  ArrowUp: () => at - 1,
  Home: () => 0,
  End: () => pictures.length - 1,
};

document.addEventListener("click", (event) => {
  const link = event.target.closest(".pictures a");
  if (link && !event.ctrlKey && !event.metaKey && !event.shiftKey) {
    event.preventDefault();
    show(pictures.indexOf(link));
    viewer.showModal();
  }
});

document.addEventListener("keydown", (event) => {
  const step = steps[event.key];
  if (!step || event.ctrlKey || event.metaKey || event.altKey) {
    return;
  }
  if (viewer.open) {
    event.preventDefault();
    show(step());
    return;
  }
  const focused = pictures.indexOf(document.activeElement);
  if (focused >= 0) {
    event.preventDefault();
    at = focused;
    focus(step());
  }
});

for (const button of viewer.querySelectorAll("button")) {
  button.addEventListener("click", () => {
    if (button.dataset.step) {
      show(at + Number(button.dataset.step));
    } else {
      viewer.close();
    }
  });
}
viewer.addEventListener("close", () => focus(at));
