/* The sums of the blade's page, by the same rules as billets/face.py, grind.py, section.py and
 * bevel.py; tests/billets/test_bevel_script.py runs both and compares.
 *
 * bevelSums.read(sizes, blade) takes lengths in mm, angle in degrees:
 *   sizes  { grind, spine, height, bevel, wheel, bulge, edge, angle, drift, valley }
 *   blade  { halves: { right, left } }, each a list from the core outwards of { outer, isLine }
 * and gives { face, sharp, faces: { right, left }, out, isIn } or throws { key, words } where the
 * sizes make no blade. Nothing here touches the page.
 */
"use strict";
globalThis.bevelSums = (() => {
  const refuse = (key, words) => { throw { key, words }; };

  function face({ grind, spine, height, bevel, wheel, bulge, edge }) {
    const foot = edge / 2, top = spine / 2, rise = top - foot;
    if (edge < 0 || !(rise > 0)) refuse("spine", { spine, edge });
    const ends = grind === "flat" ? height : bevel;
    if (!(ends > 0 && ends <= height)) refuse("bevel", { bevel, height });
    const chord = Math.hypot(ends, rise), tightest = chord * chord / (2 * rise);
    const bend = { hollow: -1, convex: 1 }[grind] || 0;
    const radius = bend < 0 ? wheel : chord * chord / (8 * bulge) + bulge / 2;
    if (bend && radius < tightest * (1 - 1e-9)) {
      if (bend > 0) refuse("bulge", { bulge, most: tightest - Math.sqrt(tightest ** 2 - chord ** 2 / 4) });
      refuse("wheel", { radius, bevel: ends, tightest, reach: Math.sqrt(rise * Math.max(2 * radius - rise, 0)) });
    }
    const off = bend ? Math.sqrt(Math.max(0, (radius - chord / 2) * (radius + chord / 2))) : 0;
    const up = ends / 2 + bend * off * rise / chord, across = (foot + top) / 2 - bend * off * ends / chord;
    const half = (y) => Math.sqrt(Math.max(0, (radius - y) * (radius + y)));
    const slope = (y) => y > ends ? 0 : bend ? -bend * (y - up) / Math.max(half(y - up), 1e-12) : rise / ends;
    return {
      height, bevel: ends, foot, top, bend, slope,
      half: (y) => y >= ends ? top : bend ? across + bend * half(y - up) : foot + y * rise / ends,
      up: (z) => z <= foot ? 0 : z >= top ? ends : bend ? up - bend * half(z - across) : (z - foot) * ends / rise,
      along(low, high) {
        const turn = Math.min(high, ends), flat = Math.max(0, high - Math.max(low, ends));
        if (turn <= low) return flat;
        if (!bend) return flat + (turn - low) * Math.hypot(1, rise / ends);
        return flat + radius * (Math.asin((turn - up) / radius) - Math.asin((low - up) / radius));
      },
    };
  }

  function sharpened(one, angle) {
    const least = Math.max(5, Math.atan(one.top / one.bevel) * 180 / Math.PI);
    if (!(least < angle && angle <= 45)) refuse(least < 45 ? "sharpen" : "steep", { given: `${angle}`, least: `${Math.ceil(10 * least) / 10}`, most: "45" });
    const steep = Math.tan(angle * Math.PI / 180);
    let low = 0, high = one.bevel;
    for (let turn = 0; turn < 60; turn += 1) {
      const middle = (low + high) / 2;
      if (one.half(middle) >= middle * steep) low = middle; else high = middle;
    }
    const shoulder = high, thick = shoulder * steep;
    return {
      steep, shoulder, thick,
      up: (z) => z <= 0 ? 0 : z < thick ? z / steep : z >= one.top ? one.height : one.up(z),
      slope: (y) => y < shoulder ? steep : one.slope(y),
      along(low, high) {
        const turn = Math.min(Math.max(shoulder, low), high);
        return (turn - low) * Math.hypot(1, steep) + one.along(turn, high);
      },
    };
  }

  const wave = (one, sharp, y, valley) => {
    const slope = sharp.slope(y);
    return !valley ? 0 : slope * one.height <= valley ? one.height : valley / slope;
  };

  function line(one, sharp, inner, outer, valley) {
    const state = inner >= one.top ? "not-reached" : inner <= 0 ? "edge-out"
      : inner < sharp.thick ? (outer <= sharp.thick ? "in-edge" : "at-edge")
      : outer > one.top ? "to-spine" : "shows";
    const start = sharp.up(inner), end = sharp.up(outer);
    const isOut = state === "shows" || state === "to-spine";
    return {
      state, start, end, spine: 2 * outer, width: sharp.along(start, end),
      wear: isOut ? Math.max(0, start - inner / sharp.steep) : 0,
      wave: state === "not-reached" ? 0 : wave(one, sharp, start, valley),
    };
  }

  function linesOf(half) {
    const lines = half.slice(1).map((skin, at) => ({ ...skin, inner: half[at].outer })).filter((skin) => skin.isLine);
    if (half.length > 1 && !half[1].isLine) lines.unshift({ inner: half[0].outer, outer: half[0].outer });
    return lines;
  }

  function read(sizes, blade) {
    const one = face(sizes), sharp = sharpened(one, sizes.angle);
    const side = (half, shift) => linesOf(half).map(({ inner, outer }) => line(one, sharp, inner + shift, outer + shift, sizes.valley));
    const { right, left } = blade.halves;
    const cores = [[right, sizes.drift], [left, -sizes.drift]].filter(([half]) => half.length > 1);
    const out = Math.min(...cores.map(([half]) => half[0].outer));
    const isIn = cores.every(([half, shift]) => half[0].outer + shift > 0);
    return { face: one, sharp, faces: { right: side(right, sizes.drift), left: side(left, -sizes.drift) }, out, isIn };
  }
  return { read, wave };
})();
if (typeof module !== "undefined") module.exports = globalThis.bevelSums;
