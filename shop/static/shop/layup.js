/* The layup editor: what a script adds to a form that works without one.
 *
 * select[data-metal]: stock of a known size fills in the thickness of its row.
 * Alt+arrow up or down in a [data-layer] presses its own move button.
 * [data-scriptless] is a button that only a page without a script needs. */
(() => {
  const rowOf = (element) => element.closest("[data-layer]");
  document.addEventListener("change", (event) => {
    if (!event.target.matches("select[data-metal]")) return;
    const thickness = event.target.selectedOptions[0]?.dataset.thickness;
    const field = rowOf(event.target)?.querySelector('[name$="-thickness"]');
    if (thickness && field) field.value = thickness;
  }, true);
  document.addEventListener("keydown", (event) => {
    if (!event.altKey || !["ArrowUp", "ArrowDown"].includes(event.key)) return;
    const row = rowOf(event.target);
    if (!row) return;
    event.preventDefault();
    row.querySelector(`[data-move="${event.key === "ArrowUp" ? "up" : "down"}"]`)?.click();
  });
  const hide = (root) => {
    for (const button of root.querySelectorAll("[data-scriptless]")) button.hidden = true;
  };
  document.addEventListener("DOMContentLoaded", () => hide(document));
  document.addEventListener("htmx:load", (event) => hide(event.detail.elt));
})();
