// Looks at an open page and returns its faults as sentences. Runs in the browser; see browser_pages.py.
({ phone }) => {
  const faults = [];
  const edge = window.innerWidth;
  const named = (one) => `${one.tagName.toLowerCase()} "${(one.textContent || "").trim().slice(0, 30)}"`;
  // for those who listen only: one pixel, cut to nothing
  const unseen = (one) => one.closest("thead") !== null
    && getComputedStyle(one.closest("thead")).clipPath !== "none";

  const root = document.documentElement;
  if (root.scrollWidth > edge) faults.push(`the page is ${root.scrollWidth} wide, the window ${edge}`);

  for (const one of document.body.querySelectorAll("*")) {
    if (unseen(one)) continue;
    const box = one.getBoundingClientRect();
    if (box.right > edge + 0.5 || box.left < -0.5) faults.push(`beyond the edge: ${named(one)}`);
    // what runs out of its box lies on its neighbour
    const inline = getComputedStyle(one).display === "inline";
    if (!inline && one.scrollWidth > one.clientWidth + 1) faults.push(`runs out of its box: ${named(one)}`);
  }

  // a short word never breaks: letters under each other cannot be read
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const broken = new Set();
  for (let text = texts.nextNode(); text; text = texts.nextNode()) {
    if (unseen(text.parentElement)) continue;
    for (const word of text.data.matchAll(/[\p{L}\p{N}]{2,14}(?=[.,;:!?)]*(?:[\s\-\u2010-\u2015/]|$))/gu)) {
      const before = text.data[word.index - 1];
      if (before !== undefined && !/[\s\-\u2010-\u2015/]/.test(before)) continue;
      const range = document.createRange();
      range.setStart(text, word.index);
      range.setEnd(text, word.index + word[0].length);
      const tops = [...range.getClientRects()].map((one) => Math.round(one.top));
      if (new Set(tops).size > 1) broken.add(word[0]);
    }
  }
  if (broken.size) faults.push(`words broken in two: ${[...broken].slice(0, 8).join(", ")}`);

  for (const one of document.images) {
    const seen = getComputedStyle(one).display !== "none";
    if (!one.complete || one.naturalWidth === 0) faults.push(`picture not loaded: ${one.alt.slice(0, 30)}`);
    // on paper a client's ribbon stands beside the text, and is the narrow one
    const beside = matchMedia("print").matches && one.closest(".large .trend") !== null;
    if (seen !== one.classList.contains(phone || beside ? "narrow" : "wide")) faults.push(`the picture of the other width: ${one.alt.slice(0, 30)}`);
    if (!one.alt.trim()) faults.push("a picture without words");
  }

  if (document.scripts.length) faults.push("a script in the page");
  for (const one of document.querySelectorAll("*")) {
    const names = one.getAttributeNames().filter((name) => name.startsWith("on"));
    if (names.length) faults.push(`code in an attribute: ${names.join(", ")}`);
  }

  const levels = [...document.querySelectorAll("h1,h2,h3,h4,h5,h6")].map((one) => Number(one.tagName[1]));
  if (levels[0] !== 1 || levels.filter((one) => one === 1).length !== 1) faults.push("not one h1 first");
  levels.forEach((one, order) => {
    if (order && one > levels[order - 1] + 1) faults.push(`h${one} follows h${levels[order - 1]}`);
  });
  return faults;
}
