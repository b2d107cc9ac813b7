/* What the blade's page says, in the words that the server sends along, by the same rules as
 * billets/bevel_words.py; tests/browser/test_bevel_script.py compares the two.
 *
 * bevelWords.face(found, side, blade) gives one sentence or more a line, bevelWords.edge(found,
 * blade) one for the edge; found is what bevelSums.read gave. Nothing here touches the page. */
"use strict";
globalThis.bevelWords = (() => {
  const MM_PER_IN = 25.4;

  function words(mm, system) {
    if (system === "inch") return `${(Math.round((mm / MM_PER_IN) * 1000) / 1000).toFixed(3)} in`;
    const near = Math.round(Math.abs(mm) * 100),
      tenths = Math.floor(near / 10),
      odd = (near % 10) + (tenths % 2) > 5;
    return `${Math.sign(mm) * (near < 1000 ? near / 100 : (tenths + odd) / 10)} mm`; // half to even, as the server does
  }
  const fill = (template, sizes, system) =>
    template.replace(/\{(\w+)\}/g, (_, name) =>
      typeof sizes[name] === "number" ? words(sizes[name], system) : sizes[name],
    );

  function sentences(line, { says, system }) {
    const isWeld = line.state === "shows" && line.width === 0;
    return [
      says.line[isWeld ? "core" : line.state],
      line.wave > 0 && says.wave,
      line.wear > 0 && says.wear,
    ]
      .filter(Boolean)
      .map((template) => fill(template, line, system))
      .join(" ");
  }

  function face(found, side, blade) {
    const lines = found.faces[side];
    if (found.ends[side].face.isGround) return lines.map((line) => sentences(line, blade));
    return [
      blade.says.line[!lines.length || lines[0].state === "not-ground" ? "not-ground" : "bare-out"],
    ];
  }

  function edge(found, blade) {
    const key =
      found.out === Infinity
        ? "whole"
        : (found.isIn ? "in" : "out") + (found.isCentred ? "" : "-off");
    return fill(blade.says.edge[key], found, blade.system);
  }
  return { MM_PER_IN, words, fill, face, edge };
})();
if (typeof module !== "undefined") module.exports = globalThis.bevelWords;
