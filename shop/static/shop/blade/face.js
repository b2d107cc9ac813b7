/* Both faces of a blade, by the same rules as billets/face.py, grind.py, section.py and
 * two_faces.py; tests/browser/test_bevel_script.py runs both and compares.
 *
 * bevelFace(sizes) takes lengths in mm, angle in degrees:
 *   { spine, height, edge, angle, grind, bevel, wheel, bulge,
 *     left: "" as the right one | "none" not ground | a grind, left_bevel, left_wheel, left_bulge, off }
 * and gives { right: { face, sharp }, left: { face, sharp } } or throws { key, words } where the
 * sizes make no blade. Depths count from the plane through the edge. Nothing here touches the page.
 */
"use strict";
globalThis.bevelFace = (() => {
  const refuse = (key, words) => {
    throw { key, words };
  };

  function face({ grind, bevel, wheel, bulge }, height, foot, top) {
    const rise = top - foot;
    const ends = grind === "flat" ? height : bevel;
    if (!(ends > 0 && ends <= height)) refuse("bevel", { bevel, height });
    const chord = Math.hypot(ends, rise),
      tightest = (chord * chord) / (2 * rise);
    const bend = { hollow: -1, convex: 1 }[grind] || 0;
    const radius = bend < 0 ? wheel : (chord * chord) / (8 * bulge) + bulge / 2;
    const most = tightest - Math.sqrt(tightest ** 2 - chord ** 2 / 4);
    if (bend && (radius < tightest * (1 - 1e-9) || (bend > 0 && bulge > most * (1 + 1e-9)))) {
      if (bend > 0) refuse("bulge", { bulge, most });
      refuse("wheel", {
        radius,
        bevel: ends,
        tightest,
        reach: Math.sqrt(rise * Math.max(2 * radius - rise, 0)),
      });
    }
    const off = bend ? Math.sqrt(Math.max(0, (radius - chord / 2) * (radius + chord / 2))) : 0;
    const up = ends / 2 + (bend * off * rise) / chord,
      across = (foot + top) / 2 - (bend * off * ends) / chord;
    const half = (y) => Math.sqrt(Math.max(0, (radius - y) * (radius + y)));
    const slope = (y) =>
      y > ends ? 0 : bend ? (-bend * (y - up)) / Math.max(half(y - up), 1e-12) : rise / ends;
    return {
      height,
      bevel: ends,
      foot,
      top,
      bend,
      slope,
      isGround: true,
      half: (y) =>
        y >= ends ? top : bend ? across + bend * half(y - up) : foot + (y * rise) / ends,
      up: (z) =>
        z <= foot
          ? 0
          : z >= top
            ? ends
            : bend
              ? up - bend * half(z - across)
              : ((z - foot) * ends) / rise,
      along(low, high) {
        const turn = Math.min(high, ends),
          flat = Math.max(0, high - Math.max(low, ends));
        if (turn <= low) return flat;
        if (!bend) return flat + (turn - low) * Math.hypot(1, rise / ends);
        return flat + radius * (Math.asin((turn - up) / radius) - Math.asin((low - up) / radius));
      },
    };
  }

  const bare = (height) => ({
    height,
    bevel: height,
    foot: 0,
    top: 0,
    bend: 0,
    isGround: false,
    slope: () => 0,
    half: () => 0,
    up: (z) => (z <= 0 ? 0 : height),
    along: (low, high) => Math.max(0, high - low),
  });

  function pair(sizes) {
    const { spine, height, edge, left } = sizes;
    if (edge < 0 || !(spine > edge)) refuse("spine", { spine, edge });
    if (left === "none") return { right: face(sizes, height, edge, spine), left: bare(height) };
    const off = left ? sizes.off : 0,
      most = (spine - edge) / 2,
      half = spine / 2;
    if (!(off >= 0 && off < most)) refuse("off", { off, spine, most });
    const right = face(sizes, height, edge / 2, half + off);
    if (!left) return { right, left: right };
    const other = {
      grind: left,
      bevel: sizes.left_bevel,
      wheel: sizes.left_wheel,
      bulge: sizes.left_bulge,
    };
    return { right, left: face(other, height, edge / 2, half - off) };
  }

  function check(angle, { right, left }) {
    const [one, other] = [right, left].map(
        ({ top, bevel }) => (Math.atan(top / bevel) * 180) / Math.PI,
      ),
      least = Math.max(5, one, other);
    if (!(least < angle && angle <= 45))
      refuse(least < 45 ? "sharpen" : "steep", {
        given: `${angle}`,
        least: `${Math.ceil(10 * least) / 10}`,
        most: "45",
      });
  }

  function sharpened(one, angle) {
    const steep = Math.tan((angle * Math.PI) / 180);
    let low = 0,
      high = one.bevel;
    for (let turn = 0; turn < 60; turn += 1) {
      const middle = (low + high) / 2;
      if (one.half(middle) >= middle * steep) low = middle;
      else high = middle;
    }
    const shoulder = one.isGround ? high : 0,
      thick = shoulder * steep;
    return {
      steep,
      shoulder,
      thick,
      up: (z) => (z <= 0 ? 0 : z < thick ? z / steep : z >= one.top ? one.height : one.up(z)),
      slope: (y) => (y < shoulder ? steep : one.slope(y)),
      along(low, high) {
        const turn = Math.min(Math.max(shoulder, low), high);
        return (turn - low) * Math.hypot(1, steep) + one.along(turn, high);
      },
    };
  }

  return (sizes) => {
    const faces = pair(sizes);
    check(sizes.angle, faces);
    const [right, left] = [faces.right, faces.left].map((face) => ({
      face,
      sharp: sharpened(face, sizes.angle),
    }));
    return { right, left };
  };
})();
if (typeof module !== "undefined") module.exports = globalThis.bevelFace;
