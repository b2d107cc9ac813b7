/* The blade answers its sliders at once; without this file the same form asks the server.
 *
 * section[data-bevel='{…}']      JSON: system "inch" | "metric", length (mm), halves { right, left }
 *                                (lists from the core outwards of { outer, isLine }, mm), waves
 *                                { right, left } (97 numbers each), says { line, wear, wave, edge,
 *                                refusal } (sentences with {names}); made by billets/panel/blade.py
 *   form                         select[name=grind], select[name=left]; input[type=range] by name, in
 *                                the shop's unit
 *     [data-grinds="flat …"]     hidden for every other grind of its data-face; holds one input and
 *                                its output
 *     [data-submit]              hidden wherever this script answers
 *   [data-section], [data-side]  drawings; a data-draw inside names what section.js and
 *                                side.js give
 *   [data-lines="right|left"]    list of sentences; [data-edge], [data-refusal] one each, the last
 *                                inside [data-refused], which is hidden without one
 * After each answer data-ms on the section says how many milliseconds it took.
 */
"use strict";
(() => {
  const { MM_PER_IN, words, fill } = bevelWords;

  function paint(figure, drawn, system) {
    for (const part of figure.querySelectorAll("[data-draw]")) {
      const name = part.dataset.draw,
        word = drawn.words[name];
      for (const [key, value] of Object.entries(drawn[name] || {})) part.setAttribute(key, value);
      if (!word) continue;
      if (word.x !== undefined) {
        part.setAttribute("x", `${word.x}%`);
        part.setAttribute("y", `${word.y}%`);
      }
      if (word.size !== undefined) part.textContent = words(word.size, system);
      if (word.text !== undefined) part.textContent = word.text;
    }
  }

  function sizesOf(form, system) {
    const sizes = { grind: form.elements.grind.value, left: form.elements.left.value };
    for (const input of form.querySelectorAll("input[type=range]")) {
      const scale = input.name === "angle" ? 1 : system === "inch" ? MM_PER_IN : 1;
      sizes[input.name] = +input.value * scale;
      const said = input.name === "angle" ? `${+input.value}°` : words(sizes[input.name], system);
      input.parentElement.querySelector("output").textContent = said.replace(/^-/, "−");
      const { grinds, face } = input.parentElement.dataset;
      input.parentElement.hidden = !grinds
        .split(" ")
        .includes(face === "left" ? sizes.left : sizes.grind);
    }
    return sizes;
  }

  function say(root, blade, found) {
    for (const list of root.querySelectorAll("[data-lines]")) {
      const lines = bevelWords.face(found, list.dataset.lines, blade);
      list.replaceChildren(
        ...lines.map((said, at) => {
          const item = document.createElement("li");
          item.textContent = (lines.length > 1 ? `Line ${at + 1}: ` : "") + said;
          return item;
        }),
      );
    }
    root.querySelector("[data-edge]").textContent = bevelWords.edge(found, blade);
  }

  function answer(root) {
    const began = performance.now(),
      blade = JSON.parse(root.dataset.bevel);
    const form = root.querySelector("form"),
      sizes = sizesOf(form, blade.system);
    const refusal = root.querySelector("[data-refusal]");
    try {
      const found = bevelSums.read(sizes, blade);
      for (const figure of root.querySelectorAll("[data-section]"))
        paint(figure, bevelDraw.section(sizes, blade, found), blade.system);
      for (const figure of root.querySelectorAll("[data-side]"))
        paint(figure, bevelDraw.side(sizes, blade, found, figure.dataset.side), blade.system);
      say(root, blade, found);
      refusal.textContent = "";
    } catch (error) {
      if (!error.key) throw error;
      refusal.textContent = fill(blade.says.refusal[error.key], error.words, blade.system);
    }
    root.querySelector("[data-refused]").hidden = !refusal.textContent;
    root.dataset.ms = (performance.now() - began).toFixed(1);
  }

  const settle = () => {
    for (const button of document.querySelectorAll("[data-bevel] [data-submit]"))
      button.hidden = true;
  };
  document.addEventListener("DOMContentLoaded", settle);
  document.addEventListener("htmx:afterSettle", settle);
  document.addEventListener("input", (event) => {
    const root = event.target.closest("[data-bevel]");
    if (root) answer(root);
  });
})();
