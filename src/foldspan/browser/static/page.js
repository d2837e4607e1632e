// One small script; every page also works without it.
"use strict";
document.documentElement.classList.add("scripted");

document.addEventListener("DOMContentLoaded", () => {
  const number = document.getElementById("number");
  if (number) {
    // the page's own pad takes the place of the device's keyboard where fingers are used
    if (matchMedia("(pointer: coarse)").matches) number.setAttribute("inputmode", "none");
    document.querySelectorAll("[data-digit]").forEach((key) => {
      key.addEventListener("click", () => {
        number.value += key.dataset.digit;
        number.focus();
      });
    });
    document.querySelector("[data-wipe]")?.addEventListener("click", () => {
      number.value = number.value.slice(0, -1);
      number.focus();
    });
    number.select();
  }
  holdToTurnBack();
  oneAnswerOnly();
  follow();
});

// Turned round, the page is given back by holding the button for a moment.
function holdToTurnBack() {
  const button = document.querySelector("[data-hold]");
  if (!button) return;
  const box = button.form.elements.hold;
  let timer = 0;
  const press = () => {
    timer = setTimeout(() => {
      box.checked = true;
      button.form.requestSubmit();
    }, 1200);
  };
  const release = () => clearTimeout(timer);
  button.addEventListener("pointerdown", press);
  button.addEventListener("pointerup", release);
  button.addEventListener("pointerleave", release);
  button.addEventListener("keydown", (event) => {
    if (!event.repeat && (event.key === "Enter" || event.key === " ")) press();
  });
  button.addEventListener("keyup", release);
  button.addEventListener("click", (event) => {
    if (!box.checked) event.preventDefault();
  });
}

// A double tap sends once; the server would notice a second one too.
function oneAnswerOnly() {
  document.querySelectorAll("form").forEach((form) => {
    form.addEventListener("submit", (event) => {
      if (form.dataset.sent) event.preventDefault();
      form.dataset.sent = "1";
      setTimeout(() => delete form.dataset.sent, 4000);
    });
  });
}

// Another device in the same session: this page goes on with it.
function follow() {
  const { turn, follow: address } = document.body.dataset;
  if (!address) return;
  const typed = () => [...document.querySelectorAll("input:not([type=hidden])")].some((field) => field.value && field.type === "text");
  setInterval(async () => {
    if (document.hidden || typed()) return;
    try {
      const reply = await fetch(address, { redirect: "manual" });
      if (reply.ok && (await reply.text()) !== turn) location.reload();
    } catch {
      // the network is away: the next try will tell
    }
  }, 3000);
}
