// One small script; every page also works without it.
"use strict";

const FOLLOWED_EVERY = 3000; // ms
const TRIED_EVERY = 2000; // ms
const HELD_FOR = 1200; // ms
const WATCHED_EVERY = 400; // ms

document.documentElement.classList.add("scripted");
document.addEventListener("DOMContentLoaded", () => {
  document.addEventListener("submit", send);
  document.addEventListener("keydown", byNumber);
  setInterval(follow, FOLLOWED_EVERY);
  told.className = "unseen";
  told.setAttribute("role", "status");
  document.body.append(told);
  addEventListener("popstate", () => location.reload());
  prepare();
});

// What a page needs each time it is shown.
function prepare() {
  chosen = "";
  numberPad();
  holdToTurnBack();
  voice();
  takeDropped();
  watch();
  document.querySelector("[autofocus]")?.focus({ preventScroll: true });
}

// --- the number pad -------------------------------------------------------------------------------

function numberPad() {
  const number = document.getElementById("number");
  if (!number) return;
  // the page's own pad takes the place of the device's keyboard where fingers are used
  if (matchMedia("(pointer: coarse)").matches) number.setAttribute("inputmode", "none");
  let isFresh = number.value !== ""; // what was refused is written over by the first digit
  const put = (text) => {
    number.value = isFresh ? text : number.value + text;
    isFresh = false;
  };
  number.addEventListener("input", () => (isFresh = false));
  for (const key of document.querySelectorAll("[data-digit]")) {
    key.addEventListener("click", () => put(key.dataset.digit));
  }
  document.querySelector("[data-wipe]")?.addEventListener("click", () => {
    number.value = number.value.slice(0, -1);
    isFresh = false;
  });
  number.select();
}

// --- a number pad alone: the first digit shows a number at every choice, Enter takes the one typed ----

let chosen = ""; // digits typed where no field takes them

function byNumber(event) {
  const at = document.activeElement;
  const isField = at?.matches("input:not([type=checkbox]):not([type=radio]), textarea, select");
  if (isField || event.ctrlKey || event.altKey || event.metaKey) return;
  if (/^\d$/.test(event.key)) chosen += event.key;
  else if (chosen && ["Backspace", "Escape", "Delete"].includes(event.key)) chosen = "";
  else if (chosen && event.key === "Enter") takeChoice();
  else return;
  event.preventDefault();
  const choices = numbered();
  const choice = choices[Number(chosen) - 1];
  told.textContent = choice ? `${chosen}: ${choice.textContent.trim()}. Enter takes it.` : "";
  for (const one of choices) one.classList.toggle("is-next", one === choice);
}

// Every choice in its order, with its number: buttons, links that look like one, and chips.
function numbered() {
  document.body.classList.add("numbered");
  const all = document.querySelectorAll("main button, main a.button, main .chip, main ul.rows a");
  const choices = [...all].filter((one) => one.checkVisibility() && !one.closest("nav"));
  choices.forEach((one, place) => (one.dataset.nth = place + 1));
  return choices;
}

function takeChoice() {
  const choice = numbered()[Number(chosen) - 1];
  chosen = "";
  choice?.click();
}

// --- an answer is sent once, also where the network is away ------------------------------------------

let isSending = false;

async function send(event) {
  const form = event.target;
  const button = event.submitter;
  if (event.defaultPrevented || form.method !== "post" || form.target) return;
  if (form.enctype === "multipart/form-data") return sendFile(event);
  if ("locks" in form.dataset) return; // shut out is what it is to be: nothing to be sent again
  event.preventDefault();
  if (isSending) return; // a double tap
  isSending = true;
  const body = new URLSearchParams(new FormData(form, button));
  remember(body.get("typed"));
  try {
    show(await untilSent(form.action, body));
  } finally {
    isSending = false;
  }
}

// The page tells by its moment whether an answer came before: sent again, it is taken once.
async function untilSent(address, body) {
  for (;;) {
    try {
      const reply = await fetch(address, { method: "POST", body, credentials: "same-origin" });
      const page = await reply.text();
      if (reply.headers.has("retry-after")) {
        waits(HELD);
        await later();
        continue;
      }
      // let in again in another window, this one goes on with what was entered
      if (!isShutOut(reply.url) || isShutOut(location.href)) return { page, address: reply.url };
      waits(SHUT_OUT);
    } catch {
      waits(AWAY);
    }
    await later();
  }
}

function later() {
  return new Promise((resolve) => setTimeout(resolve, TRIED_EVERY));
}

const AWAY =
  "No connection. What you entered stays on this page and will be sent, once, when the connection is back.";
const HELD =
  "Another session is using the record book, perhaps in a terminal: end or stop that one. What you entered stays on this page and will be sent, once, when the book is free.";
const SHUT_OUT =
  "This device has to be unlocked or paired again: do that in another window. What you entered stays on this page and will then be sent, once.";

function isShutOut(address) {
  return ["/pair", "/locked"].includes(new URL(address).pathname);
}

function waits(why) {
  let line = document.getElementById("away");
  if (!line) {
    line = document.createElement("p");
    line.id = "away";
    line.className = "problem";
    line.setAttribute("role", "alert");
    document.querySelector("main").prepend(line);
  }
  line.textContent = why;
}

// The body stays and its content goes: a region that is to be read aloud has to be there before.
function show({ page, address }) {
  const next = new DOMParser().parseFromString(page, "text/html");
  const body = document.body;
  document.title = next.title;
  document.documentElement.lang = next.documentElement.lang;
  for (const { name } of [...body.attributes]) body.removeAttribute(name);
  for (const { name, value } of [...next.body.attributes]) body.setAttribute(name, value);
  for (const one of [...body.childNodes]) if (one !== told) one.remove();
  body.prepend(...next.body.childNodes);
  if (address !== location.href) history.pushState(null, "", address);
  scrollTo(0, 0);
  prepare();
  tell();
}

// --- read aloud by a screen reader: what was said, then what is asked ---------------------------------

const told = document.createElement("div");

function tell() {
  const said = [...document.querySelectorAll("main .remarks, main .said")];
  told.textContent = "";
  setTimeout(() => {
    // a number that is being typed is told by itself
    if (!chosen) told.textContent = said.map((one) => one.textContent.trim()).join(" ");
  }, 100);
  if (document.querySelector("[autofocus]")) return;
  const first =
    document.querySelector("main [aria-invalid='true']") ?? document.querySelector("main h1");
  if (first?.tagName === "H1") first.tabIndex = -1;
  first?.focus({ preventScroll: true });
}

// --- another device in the same session: this page goes on with it --------------------------------

async function follow() {
  const { turn, follow: address } = document.body.dataset;
  if (!address || document.hidden || isSending || hasInput()) return;
  try {
    const reply = await fetch(address, { redirect: "manual" });
    if (reply.type === "opaqueredirect") location.reload(); // locked, or let in no more
    if (reply.ok && (await reply.text()) !== turn && !isSending && !hasInput()) location.reload();
  } catch {
    // the network is away: the next try will tell
  }
}

function hasInput() {
  return [...document.querySelectorAll("main input")].some((field) =>
    field.type === "text" ? field.value !== field.defaultValue : field.checked !== field.defaultChecked,
  );
}

// --- turned round, the page is given back by holding the button -------------------------------------

function holdToTurnBack() {
  const button = document.querySelector("[data-hold]");
  if (!button) return;
  const box = button.form.elements.hold;
  let timer = 0;
  const press = () => {
    timer = setTimeout(() => {
      box.checked = true;
      button.form.requestSubmit(button);
    }, HELD_FOR);
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
    if (box.checked) return;
    event.preventDefault();
    // a screen reader presses for no time: it gets the box to tick instead
    if (event.detail === 0) box.closest("label").classList.add("ticked-instead");
  });
}

// --- hands full: the page says the number and the next site, by a voice of this device only --------------

function voice() {
  const number = sessionStorage.getItem("foldspan said");
  sessionStorage.removeItem("foldspan said"); // also where nothing is said: it is not for the next client
  const switches = document.querySelector("[data-voice]");
  if (!switches || !("speechSynthesis" in window)) return;
  switches.hidden = false;
  switches.checked = localStorage.getItem("foldspan voice") === "on";
  switches.addEventListener("change", () => {
    localStorage.setItem("foldspan voice", switches.checked ? "on" : "off");
    if (switches.checked) say(document.body.dataset.say);
  });
  if (switches.checked) say([number, document.body.dataset.say].filter(Boolean).join(". "));
}

function remember(number) {
  if (document.querySelector("[data-voice]:checked") && number) sessionStorage.setItem("foldspan said", number);
}

function say(words) {
  const here = speechSynthesis.getVoices().find((voice) => voice.localService && voice.lang.startsWith("en"));
  if (!here) return; // never by a voice of the network
  const spoken = new SpeechSynthesisUtterance(words);
  spoken.voice = here;
  speechSynthesis.cancel();
  speechSynthesis.speak(spoken);
}

// --- a table: sent by the browser itself, then watched until it is done ------------------------------

function sendFile(event) {
  const field = event.target.querySelector("[type=file]");
  const isTooLarge = field.files[0]?.size > Number(field.dataset.largest);
  if (isTooLarge) {
    event.preventDefault();
    waits(field.dataset.tooLarge);
  } else if (event.submitter) {
    event.submitter.textContent = event.submitter.dataset.busy;
  }
}

function takeDropped() {
  const place = document.querySelector(".drop");
  if (!place) return;
  const field = place.querySelector("[type=file]");
  for (const name of ["dragenter", "dragover"]) {
    place.addEventListener(name, (event) => {
      event.preventDefault();
      place.classList.add("is-over");
    });
  }
  place.addEventListener("dragleave", () => place.classList.remove("is-over"));
  place.addEventListener("drop", (event) => {
    event.preventDefault();
    place.classList.remove("is-over");
    if (event.dataTransfer.files.length) field.files = event.dataTransfer.files;
  });
}

async function watch() {
  const place = document.querySelector("[data-watch]");
  while (place?.isConnected) {
    await new Promise((resolve) => setTimeout(resolve, WATCHED_EVERY));
    try {
      const reply = await fetch(place.dataset.watch, { redirect: "manual" });
      if (!reply.ok) return location.reload(); // locked, let in no more, or deleted elsewhere
      const { is_at_work, share, progress } = await reply.json();
      if (!is_at_work) return location.reload();
      if (share !== null) place.querySelector("progress").value = share;
      place.querySelector("[data-progress]").textContent = progress;
    } catch {
      // the network is away: the next try will tell
    }
  }
}
