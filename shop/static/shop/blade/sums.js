/* Where the lines of a blade come out, by the same rules as billets/bevel.py;
 * tests/browser/test_bevel_script.py runs both and compares.
 *
 * bevelSums.read(sizes, blade) takes sizes as face.js does, with drift and valley, and
 *   blade  { halves: { right, left } }, each a list from the core outwards of { outer, isLine }
 * and gives { ends: { right, left } as face.js has them, middle, shift, drift, faces: { right,
 * left } lists of lines, out, near, isIn, isCentred } or throws as face.js does. shift is how
 * far the core lies right of the plane through the edge. Nothing here touches the page.
 */
"use strict";
globalThis.bevelSums = (() => {
  const wave = (one, sharp, y, valley) => {
    const slope = sharp.slope(y);
    return !valley ? 0 : slope * one.height <= valley ? one.height : valley / slope;
  };

  function line(one, sharp, inner, outer, valley) {
    const state = !one.isGround
      ? inner > 0
        ? "not-ground"
        : "edge-out"
      : inner >= one.top
        ? "not-reached"
        : inner <= 0
          ? "edge-out"
          : inner < sharp.thick
            ? outer <= sharp.thick
              ? "in-edge"
              : "at-edge"
            : outer > one.top
              ? "to-spine"
              : "shows";
    const start = sharp.up(inner),
      end = sharp.up(outer);
    const isOut = state === "shows" || state === "to-spine";
    return {
      state,
      start,
      end,
      spine: 2 * outer,
      width: sharp.along(start, end),
      wear: isOut ? Math.max(0, start - inner / sharp.steep) : 0,
      wave: state === "not-reached" || !one.isGround ? 0 : wave(one, sharp, start, valley),
    };
  }

  function linesOf(half) {
    const lines = half
      .slice(1)
      .map((skin, at) => ({ ...skin, inner: half[at].outer }))
      .filter((skin) => skin.isLine);
    if (half.length > 1 && !half[1].isLine)
      lines.unshift({ inner: half[0].outer, outer: half[0].outer });
    return lines;
  }

  function read(sizes, blade) {
    const ends = bevelFace(sizes),
      middle = (ends.right.face.top - ends.left.face.top) / 2,
      shift = sizes.drift + middle;
    const side = (which, by) =>
      linesOf(blade.halves[which]).map(({ inner, outer }) =>
        line(ends[which].face, ends[which].sharp, inner + by, outer + by, sizes.valley),
      );
    const cores = [
      ["right", shift],
      ["left", -shift],
    ]
      .map(([which, by]) => [blade.halves[which], by])
      .filter(([half]) => half.length > 1);
    const out = Math.min(...cores.map(([half]) => half[0].outer)),
      near = Math.min(...cores.map(([half, by]) => half[0].outer + by));
    return {
      ends,
      middle,
      shift,
      drift: Math.abs(shift),
      faces: { right: side("right", shift), left: side("left", -shift) },
      out,
      near: Math.abs(near),
      isIn: near > 0,
      isCentred: middle === 0,
    };
  }
  return { read, wave };
})();
if (typeof module !== "undefined") module.exports = globalThis.bevelSums;
