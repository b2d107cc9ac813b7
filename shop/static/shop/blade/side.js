/* One face of the blade's page from the side as numbers, by the same rules as
 * billets/drawing_side.py and blade_outline.py; tests/browser/test_bevel_script.py compares the two.
 *
 * bevelDraw.side(sizes, blade, found, side), where found is what bevelSums.read gave and blade also
 * has { length, waves: { right, left } }, gives what bevelDraw.section does. */
"use strict";
globalThis.bevelDraw ||= {};
(() => {
  const BEYOND = 3,
    STATIONS = 97,
    BELLY = 0.42,
    POINT = 0.86,
    RISE_POWER = 2.1,
    DROP = 0.55;
  const TANG = 0.14,
    LEFT = 0.24,
    RIGHT = 0.02,
    ABOVE = 0.02,
    BELOW = 0.1;
  const short = (value) => String(+value.toFixed(4) + 0),
    numbers = (values) => values.map(short).join(" ");
  const path = (points, end = "Z") => "M" + points.map(numbers).join("L") + end;

  globalThis.bevelDraw.side = (sizes, blade, found, which) => {
    const { length } = blade,
      { face, sharp } = found.ends[which],
      { height } = face;
    const isMirrored = which === "left",
      shift = isMirrored ? -found.shift : found.shift;
    const places = Array.from({ length: STATIONS }, (_, at) => (length * at) / (STATIONS - 1));
    const share = (x, from) => Math.max(0, x / length - from) / (1 - from);
    const along = (heights) =>
      places.map((x, at) => {
        const slope =
          ((RISE_POWER * POINT * height) / ((1 - BELLY) * length)) *
          share(x, BELLY) ** (RISE_POWER - 1);
        const square = heights[at] / Math.hypot(1, slope);
        return [
          x - slope * square,
          height - POINT * height * share(x, BELLY) ** RISE_POWER - square,
        ];
      });
    const level = (up) => path(along(places.map(() => up)), ""),
      back = along(places.map(() => 0)).reverse();
    const whole = path([
      ...places.map((x) => [x, (1 - POINT) * height * share(x, DROP) ** 2]),
      ...back,
    ]);
    const heights = (depth) => {
      if (depth <= 0) return places.map(() => 0);
      if (depth >= face.top) return places.map(() => BEYOND * height);
      const up = sharp.up(depth),
        reach = bevelSums.wave(face, sharp, up, sizes.valley) / 2;
      return blade.waves[which].map((wave) => Math.max(0, up + reach * wave));
    };
    const grind = { d: face.bevel < height ? level(face.bevel) : "" };
    const drawn = {
      outline: { d: whole },
      "zone-0": { d: whole },
      sharpened: { d: level(sharp.shoulder) },
      grind,
      words: {},
    };
    blade.halves[which]
      .slice(0, -1)
      .reverse()
      .forEach((skin, at) => {
        drawn[`zone-${at + 1}`] = { d: path([...along(heights(skin.outer + shift)), ...back]) };
      });
    drawn.tang = {
      d: path(
        [
          [0, 0.12],
          [-TANG * length, 0.12],
          [-TANG * length, 0.5],
          [0, 0.5],
        ].map(([x, y]) => [x, y * height]),
        "",
      ),
    };
    const tick = 0.012 * length,
      below = height + 0.035 * length,
      high = height + (ABOVE + BELOW) * length;
    drawn.view = {
      viewBox: numbers([
        -(isMirrored ? RIGHT : LEFT) * length,
        -ABOVE * length,
        (1 + LEFT + RIGHT) * length,
        high,
      ]),
    };
    const bar = (ends, across, down) =>
      [
        ends,
        ...ends.map(([x, y]) => [
          [x - across, y - down],
          [x + across, y + down],
        ]),
      ]
        .map((line) => path(line, ""))
        .join("");
    const place = (x, y, size) => {
      const at = (100 * (x / length + LEFT)) / (1 + LEFT + RIGHT);
      return { size, x: isMirrored ? 100 - at : at, y: (100 * (y + ABOVE * length)) / high };
    };
    const depth = blade.halves[which][0].outer + shift,
      isShown = depth > 0 && depth < face.top;
    const up = sharp.up(depth),
      x = -0.035 * length,
      reach = [
        [x, height - up],
        [0, height - up],
      ];
    drawn["measure-length"] = {
      d: bar(
        [
          [0, below],
          [length, below],
        ],
        0,
        tick,
      ),
    };
    drawn["measure-line"] = {
      d: isShown ? bar([[x, height], reach[0]], tick, 0) + path(reach, "") : "",
    };
    drawn.words["word-length"] = { x: place(length / 2, below).x, y: place(0, below).y };
    drawn.words["word-line"] = isShown ? place(x - tick, height - up / 2, up) : { text: "" };
    return drawn;
  };
})();
if (typeof module !== "undefined") module.exports = globalThis.bevelDraw;
