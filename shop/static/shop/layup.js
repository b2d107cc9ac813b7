/* The layup editor: what a script adds to a form that works without one.
 *
 * select[data-metal]: stock of a known size fills in the thickness of its row. A metal that can
 * only be a line (option[data-line]) makes its row one; steel chosen for a row that was a line makes
 * it the core where there is none, else cladding. A thickness that belonged to the other is emptied.
 * While a button of a row waits for its answer the rows are inert: what was typed would be lost.
 * A refused form opens at its first wrong field, also where the browser would go back to where it was.
 * Alt+arrow up or down in a [data-layer] presses its own move button.
 * [data-scriptless] is a button that only a page without a script needs.
 * [data-grinds="sabre …"] in the editor holds a size that only those grinds have; data-of names the
 * select that says which ("grind" where there is none). */
(() => {
  const rowOf = (element) => element.closest("[data-layer]");
  document.addEventListener(
    "change",
    (event) => {
      if (!event.target.matches("select[data-metal]")) return;
      const { thickness, line } = event.target.selectedOptions[0]?.dataset || {};
      const row = rowOf(event.target),
        field = row?.querySelector('[name$="-thickness"]');
      if (thickness && field) field.value = thickness;
      const part = row?.querySelector('[name$="-role"]'),
        isLine = line !== undefined;
      if (!part || isLine === (part.value === "line")) return;
      const parts = [...document.querySelectorAll('[data-layer] [name$="-role"]')].map(
        (one) => one.value,
      );
      part.value = isLine ? "line" : parts.includes("core") ? "cladding" : "core";
      if (!thickness && field) field.value = "";
    },
    true,
  );
  document.addEventListener("keydown", (event) => {
    if (!event.altKey || !["ArrowUp", "ArrowDown"].includes(event.key)) return;
    const row = rowOf(event.target);
    if (!row) return;
    event.preventDefault();
    row.querySelector(`[data-move="${event.key === "ArrowUp" ? "up" : "down"}"]`)?.click();
  });
  const hold = (event, isHeld) => {
    const pressed =
      event.target.matches?.("[data-layers] button") ||
      event.detail.elt?.matches("[data-layers] button");
    const rows = document.querySelector("[data-layers]");
    if (pressed && rows) rows.inert = isHeld;
  };
  document.addEventListener("htmx:beforeRequest", (event) => hold(event, true));
  document.addEventListener("htmx:afterRequest", (event) => hold(event, false));
  const fitGrind = () => {
    const form = document.getElementById("editor");
    for (const size of form?.querySelectorAll("[data-grinds]") || []) {
      const grind = form.elements[size.dataset.of || "grind"]?.value;
      const isWrong = size.querySelector(".errorlist") !== null;
      size.hidden = !isWrong && !size.dataset.grinds.split(" ").includes(grind);
    }
  };
  const hide = (root) => {
    for (const button of root.querySelectorAll("[data-scriptless]")) button.hidden = true;
    fitGrind();
  };
  document.addEventListener("change", (event) => {
    if (event.target.matches("#editor [name=grind], #editor [name=left_grind]")) fitGrind();
  });
  document.addEventListener("DOMContentLoaded", () => {
    hide(document);
    const wrong = document.querySelector("#editor [autofocus]");
    if (!wrong) return;
    history.scrollRestoration = "manual";
    wrong.focus();
    wrong.scrollIntoView({ block: "center" });
  });
  document.addEventListener("htmx:load", (event) => hide(event.detail.elt));
})();
