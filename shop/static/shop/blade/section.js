/* The cross-section of the blade's page as numbers, by the same rules as billets/drawing_blade.py;
 * tests/browser/test_bevel_script.py compares the two.
 *
 * bevelDraw.section(sizes, blade, found), where found is what bevelSums.read gave, gives attributes
 * by the name of their data-draw: { view: { viewBox }, outline: { d }, "layer-0": { y, … }, … } and
 * words: { right: { size, x, y }, … }, sizes in mm. Nothing here touches the page. */
"use strict";
globalThis.bevelDraw ||= {};
(() => {
  const AIR = 0.02,
    PAD = 0.085,
    LEAST_WORD = 10;
  const SHOWN = ["shows", "to-spine", "at-edge"];
  const short = (value) => String(+value.toFixed(4) + 0),
    numbers = (values) => values.map(short).join(" ");
  const path = (points, end = "Z") => "M" + points.map(numbers).join("L") + end;

  function surface({ face, sharp }) {
    const steps = face.bend ? 16 : 1,
      points = [[0, 0]];
    for (let at = 0; at <= steps; at += 1) {
      const up = sharp.shoulder + ((face.bevel - sharp.shoulder) * at) / steps;
      points.push([up, face.half(up)]);
    }
    if (face.bevel < face.height) points.push([face.height, face.top]);
    return points;
  }

  globalThis.bevelDraw.section = (sizes, blade, { ends, shift, faces }) => {
    const one = ends.right.face,
      other = ends.left.face,
      { height } = one,
      air = AIR * height,
      pad = PAD * height;
    const [up, down] = [surface(ends.right), surface(ends.left)],
      [near, back] = [ends.right.sharp, ends.left.sharp];
    const drawn = {
      outline: { d: path([...up.map(([x, y]) => [x, -y]), ...down.slice(1).reverse()]) },
      before: {
        d: path(
          [
            [near.shoulder, -near.thick],
            [0, -one.foot],
            [0, other.foot],
            [back.shoulder, back.thick],
          ],
          "",
        ),
      },
      words: {},
    };
    const far = one.top + other.top + Math.abs(shift),
      { right, left } = blade.halves;
    const ups = [...right.slice(0, -1).map((skin) => skin.outer), far],
      downs = [...left.slice(0, -1).map((skin) => -skin.outer), -far];
    const edges = [...ups.reverse(), ...downs];
    edges.slice(1).forEach((low, at) => {
      drawn[`layer-${at}`] = {
        y: short(-(edges[at] + shift)),
        width: short(height),
        height: short(edges[at] - low),
      };
    });
    const wide = (height + air) / 2,
      top = other.top + pad + air,
      at = (face, y) => face.half(Math.min(y, height));
    const thick = (y) => at(one, y) + at(other, y),
      middle = (y) => (at(other, y) - at(one, y)) / 2;
    const factor = (up, least) => {
      const most = Math.min(wide / Math.max(least, 1e-9), wide / 2 / thick(up), 20);
      return Math.max(1.5, most >= 5 ? Math.floor(most) : Math.floor(2 * most) / 2);
    };
    const first = [faces.right[0], faces.left[0]].find(
      (line) => line && SHOWN.includes(line.state),
    );
    const { start, end } = first || { start: 0.25 * height, end: 0.75 * height };
    const shoulder = Math.max(near.shoulder, back.shoulder);
    const edge = factor(2 * shoulder, 4 * shoulder),
      there = factor(end, 1.5 * (end - start));
    const places = [
      [edge, (0.42 * wide) / edge, -air],
      [there, (start + end) / 2, wide],
    ];
    const high =
      1.12 *
      Math.min(
        0.6 * wide,
        Math.max(...places.map(([times, up]) => thick(up + wide / times / 2) * times)),
      );
    places.forEach(([times, up, x], number) => {
      drawn[`frame-${number}`] = {
        x: short(x),
        y: short(top),
        width: short(wide),
        height: short(high),
      };
      drawn[`matrix-${number}`] = {
        transform: `matrix(${times} 0 0 ${times} ${numbers([x + wide / 2 - times * up, top + high / 2 - times * middle(up)])})`,
      };
      drawn.words[`factor-${number}`] = { text: String(times) };
    });
    const box = [-air, -(one.top + pad), height + 2 * air, top + high + air + one.top + pad];
    drawn.view = { viewBox: numbers(box) };
    [
      ["right", -(one.top + 0.35 * pad)],
      ["left", other.top + 0.35 * pad],
    ].forEach(([side, y]) => {
      const line = faces[side][0],
        tick = 0.1 * pad,
        isShown = line && SHOWN.includes(line.state);
      const ends = isShown
        ? [0, line.start]
            .map((x) =>
              path(
                [
                  [x, y - tick],
                  [x, y + tick],
                ],
                "",
              ),
            )
            .join("")
        : "";
      drawn[`measure-${side}`] = {
        d: isShown
          ? path(
              [
                [0, y],
                [line.start, y],
              ],
              "",
            ) + ends
          : "",
      };
      drawn.words[`word-${side}`] = isShown
        ? {
            size: line.start,
            x: Math.max(LEAST_WORD, (100 * (line.start / 2 - box[0])) / box[2]),
            y: (100 * (y - box[1])) / box[3],
          }
        : { text: "" };
    });
    return drawn;
  };
})();
if (typeof module !== "undefined") module.exports = globalThis.bevelDraw;
