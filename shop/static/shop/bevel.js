/* The blade answers its sliders at once; without this file the same form asks the server.
 *
 * section[data-bevel='{…}']      JSON: system "inch" | "metric", length (mm), halves { right, left }
 *                                (lists from the core outwards of { outer, isLine }, mm), waves
 *                                { right, left } (97 numbers each), says { line, wear, wave, edge,
 *                                refusal } (sentences with {names}); made by billets/blade_page.py
 *   form                         select[name=grind]; input[type=range] by name, in the shop's unit
 *     [data-grinds="flat …"]     hidden for every other grind; holds one input and its output
 *     [data-submit]              hidden wherever this script answers
 *   [data-section], [data-side]  drawings; a data-draw inside names what bevel-draw.js gives
 *   [data-lines="right|left"]    list of sentences; [data-edge], [data-refusal] one each, the last
 *                                inside [data-refused], which is hidden without one
 * After each answer data-ms on the section says how many milliseconds it took.
 */
"use strict";
(() => {
  const MM_PER_IN = 25.4;

  function words(mm, system) {
    if (system === "inch") return `${(Math.round(mm / MM_PER_IN * 1000) / 1000).toFixed(3)} in`;
    const near = Math.round(Math.abs(mm) * 100), tenths = Math.floor(near / 10), odd = near % 10 + tenths % 2 > 5;
    return `${Math.sign(mm) * (near < 1000 ? near / 100 : (tenths + odd) / 10)} mm`; // half to even, as the server does
  }
  const fill = (template, sizes, system) => template.replace(/\{(\w+)\}/g, (_, name) =>
    typeof sizes[name] === "number" ? words(sizes[name], system) : sizes[name]);

  function sentences(line, { says, system }) {
    const isWeld = line.state === "shows" && line.width === 0;
    return [says.line[isWeld ? "core" : line.state], line.wave > 0 && says.wave, line.wear > 0 && says.wear]
      .filter(Boolean).map((template) => fill(template, line, system)).join(" ");
  }

  function paint(figure, drawn, system) {
    for (const part of figure.querySelectorAll("[data-draw]")) {
      const name = part.dataset.draw, word = drawn.words[name];
      for (const [key, value] of Object.entries(drawn[name] || {})) part.setAttribute(key, value);
      if (!word) continue;
      if (word.x !== undefined) { part.setAttribute("x", `${word.x}%`); part.setAttribute("y", `${word.y}%`); }
      if (word.size !== undefined) part.textContent = words(word.size, system);
      if (word.text !== undefined) part.textContent = word.text;
    }
  }

  function sizesOf(form, system) {
    const sizes = { grind: form.elements.grind.value };
    for (const input of form.querySelectorAll("input[type=range]")) {
      const scale = input.name === "angle" ? 1 : system === "inch" ? MM_PER_IN : 1;
      sizes[input.name] = +input.value * scale;
      const said = input.name === "angle" ? `${+input.value}°` : words(sizes[input.name], system);
      input.parentElement.querySelector("output").textContent = said.replace(/^-/, "−");
      input.parentElement.hidden = !input.parentElement.dataset.grinds.split(" ").includes(sizes.grind);
    }
    return sizes;
  }

  function say(root, blade, found) {
    for (const list of root.querySelectorAll("[data-lines]")) {
      const lines = found.faces[list.dataset.lines];
      list.replaceChildren(...lines.map((line, at) => {
        const item = document.createElement("li");
        item.textContent = (lines.length > 1 ? `Line ${at + 1}: ` : "") + sentences(line, blade);
        return item;
      }));
    }
    const key = found.out === Infinity ? "whole" : found.isIn ? "in" : "out";
    root.querySelector("[data-edge]").textContent = fill(blade.says.edge[key], found, blade.system);
  }

  function answer(root) {
    const began = performance.now(), blade = JSON.parse(root.dataset.bevel);
    const form = root.querySelector("form"), sizes = sizesOf(form, blade.system);
    const refusal = root.querySelector("[data-refusal]");
    try {
      const found = { ...bevelSums.read(sizes, blade), drift: Math.abs(sizes.drift) };
      for (const figure of root.querySelectorAll("[data-section]")) paint(figure, bevelDraw.section(sizes, blade, found), blade.system);
      for (const figure of root.querySelectorAll("[data-side]")) paint(figure, bevelDraw.side(sizes, blade, found, figure.dataset.side), blade.system);
      say(root, blade, found);
      refusal.textContent = "";
    } catch (error) {
      if (!error.key) throw error;
      refusal.textContent = fill(blade.says.refusal[error.key], error.words, blade.system);
    }
    root.querySelector("[data-refused]").hidden = !refusal.textContent;
    root.dataset.ms = (performance.now() - began).toFixed(1);
  }

  if (typeof document === "undefined") { module.exports = { words, fill, sentences }; return; }
  const settle = () => {
    for (const button of document.querySelectorAll("[data-bevel] [data-submit]")) button.hidden = true;
  };
  document.addEventListener("DOMContentLoaded", settle);
  document.addEventListener("htmx:afterSettle", settle);
  document.addEventListener("input", (event) => {
    const root = event.target.closest("[data-bevel]");
    if (root) answer(root);
  });
})();
