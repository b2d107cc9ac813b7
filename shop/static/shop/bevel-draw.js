/* The drawings of the blade's page as numbers, by the same rules as billets/drawing_blade.py,
 * drawing_side.py and blade_outline.py; tests/billets/test_bevel_script.py compares the two.
 *
 * bevelDraw.section(sizes, blade, found) and bevelDraw.side(sizes, blade, found, side), where found
 * is what bevelSums.read gave and blade also has { length, waves: { right, left } }, give attributes
 * by the name of their data-draw: { view: { viewBox }, outline: { d }, "layer-0": { y, … }, … } and
 * words: { right: { size, x, y }, … }, sizes in mm. Nothing here touches the page. */
"use strict";
globalThis.bevelDraw = (() => {
  const AIR = 0.02, PAD = 0.085, LEAST_WORD = 10, BEYOND = 3, STATIONS = 97;
  const BELLY = 0.42, POINT = 0.86, RISE_POWER = 2.1, DROP = 0.55, TANG = 0.14, LEFT = 0.24, RIGHT = 0.02, ABOVE = 0.02, BELOW = 0.1;
  const SHOWN = ["shows", "to-spine", "at-edge"];
  const short = (value) => String(+value.toFixed(4) + 0), numbers = (values) => values.map(short).join(" ");
  const path = (points, end = "Z") => "M" + points.map(numbers).join("L") + end;

  function section(sizes, blade, { face, sharp, faces }) {
    const { height } = face, half = face.top, air = AIR * height, pad = PAD * height;
    const steps = face.bend ? 16 : 1, surface = [[0, 0]];
    for (let at = 0; at <= steps; at += 1) {
      const up = sharp.shoulder + (face.bevel - sharp.shoulder) * at / steps;
      surface.push([up, face.half(up)]);
    }
    if (face.bevel < height) surface.push([height, face.top]);
    const drawn = {
      outline: { d: path([...surface.map(([x, y]) => [x, -y]), ...surface.slice(1).reverse()]) },
      before: { d: path([[sharp.shoulder, -sharp.thick], [0, -face.foot], [0, face.foot], [sharp.shoulder, sharp.thick]], "") },
      words: {},
    };
    const far = 2 * half + Math.abs(sizes.drift), { right, left } = blade.halves;
    const ups = [...right.slice(0, -1).map((skin) => skin.outer), far], downs = [...left.slice(0, -1).map((skin) => -skin.outer), -far];
    const edges = [...ups.reverse(), ...downs];
    edges.slice(1).forEach((low, at) => {
      drawn[`layer-${at}`] = { y: short(-(edges[at] + sizes.drift)), width: short(height), height: short(edges[at] - low) };
    });
    const wide = (height + air) / 2, top = half + pad + air, thick = (y) => 2 * face.half(Math.min(y, height));
    const factor = (up, least) => {
      const most = Math.min(wide / Math.max(least, 1e-9), wide / 2 / thick(up), 20);
      return Math.max(1.5, most >= 5 ? Math.floor(most) : Math.floor(2 * most) / 2);
    };
    const first = [faces.right[0], faces.left[0]].find((line) => line && SHOWN.includes(line.state));
    const { start, end } = first || { start: 0.25 * height, end: 0.75 * height };
    const edge = factor(2 * sharp.shoulder, 4 * sharp.shoulder), near = factor(end, 1.5 * (end - start));
    const places = [[edge, 0.42 * wide / edge, -air], [near, (start + end) / 2, wide]];
    const high = 1.12 * Math.min(0.6 * wide, Math.max(...places.map(([times, at]) => thick(at + wide / times / 2) * times)));
    places.forEach(([times, at, x], number) => {
      drawn[`frame-${number}`] = { x: short(x), y: short(top), width: short(wide), height: short(high) };
      drawn[`matrix-${number}`] = { transform: `matrix(${times} 0 0 ${times} ${numbers([x + wide / 2 - times * at, top + high / 2])})` };
      drawn.words[`factor-${number}`] = { text: String(times) };
    });
    const box = [-air, -(half + pad), height + 2 * air, top + high + air + half + pad];
    drawn.view = { viewBox: numbers(box) };
    [["right", -1], ["left", 1]].forEach(([side, sign]) => {
      const line = faces[side][0], y = sign * (half + 0.35 * pad), tick = 0.1 * pad, isShown = line && SHOWN.includes(line.state);
      const ends = isShown ? [0, line.start].map((x) => path([[x, y - tick], [x, y + tick]], "")).join("") : "";
      drawn[`measure-${side}`] = { d: isShown ? path([[0, y], [line.start, y]], "") + ends : "" };
      drawn.words[`word-${side}`] = isShown ? { size: line.start, x: Math.max(LEAST_WORD, 100 * (line.start / 2 - box[0]) / box[2]), y: 100 * (y - box[1]) / box[3] } : { text: "" };
    });
    return drawn;
  }

  function side(sizes, blade, { face, sharp }, which) {
    const { length } = blade, { height } = face, isMirrored = which === "left", shift = isMirrored ? -sizes.drift : sizes.drift;
    const places = Array.from({ length: STATIONS }, (_, at) => length * at / (STATIONS - 1));
    const share = (x, from) => Math.max(0, x / length - from) / (1 - from);
    const along = (heights) => places.map((x, at) => {
      const slope = RISE_POWER * POINT * height / ((1 - BELLY) * length) * share(x, BELLY) ** (RISE_POWER - 1);
      const square = heights[at] / Math.hypot(1, slope);
      return [x - slope * square, height - POINT * height * share(x, BELLY) ** RISE_POWER - square]; });
    const level = (up) => path(along(places.map(() => up)), ""), back = along(places.map(() => 0)).reverse();
    const whole = path([...places.map((x) => [x, (1 - POINT) * height * share(x, DROP) ** 2]), ...back]);
    const heights = (depth) => {
      if (depth <= 0) return places.map(() => 0);
      if (depth >= face.top) return places.map(() => BEYOND * height);
      const up = sharp.up(depth), reach = bevelSums.wave(face, sharp, up, sizes.valley) / 2;
      return blade.waves[which].map((wave) => Math.max(0, up + reach * wave));
    };
    const grind = { d: face.bevel < height ? level(face.bevel) : "" };
    const drawn = { outline: { d: whole }, "zone-0": { d: whole }, sharpened: { d: level(sharp.shoulder) }, grind, words: {} };
    blade.halves[which].slice(0, -1).reverse().forEach((skin, at) => {
      drawn[`zone-${at + 1}`] = { d: path([...along(heights(skin.outer + shift)), ...back]) };
    });
    drawn.tang = { d: path([[0, 0.12], [-TANG * length, 0.12], [-TANG * length, 0.5], [0, 0.5]].map(([x, y]) => [x, y * height]), "") };
    const tick = 0.012 * length, below = height + 0.035 * length, high = height + (ABOVE + BELOW) * length;
    drawn.view = { viewBox: numbers([-(isMirrored ? RIGHT : LEFT) * length, -ABOVE * length, (1 + LEFT + RIGHT) * length, high]) };
    const bar = (ends, across, down) => [ends, ...ends.map(([x, y]) => [[x - across, y - down], [x + across, y + down]])].map((line) => path(line, "")).join("");
    const place = (x, y, size) => {
      const at = 100 * (x / length + LEFT) / (1 + LEFT + RIGHT);
      return { size, x: isMirrored ? 100 - at : at, y: 100 * (y + ABOVE * length) / high }; };
    const depth = blade.halves[which][0].outer + shift, isShown = depth > 0 && depth < face.top;
    const up = sharp.up(depth), x = -0.035 * length, reach = [[x, height - up], [0, height - up]];
    drawn["measure-length"] = { d: bar([[0, below], [length, below]], 0, tick) };
    drawn["measure-line"] = { d: isShown ? bar([[x, height], reach[0]], tick, 0) + path(reach, "") : "" };
    drawn.words["word-length"] = { x: place(length / 2, below).x, y: place(0, below).y };
    drawn.words["word-line"] = isShown ? place(x - tick, height - up / 2, up) : { text: "" };
    return drawn;
  }
  return { section, side };
})();
if (typeof module !== "undefined") module.exports = globalThis.bevelDraw;
