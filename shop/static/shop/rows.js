/* [data-rows="prefix"]: the lines of a Django formset, added and taken away in place.
 *
 * Holds [data-row] lines, a <template data-row-blank> made from formset.empty_form, and a
 * [data-row-add] button. That button is type="submit" name="add-row", so that without script the
 * server answers with one line more. In a line, [data-row-remove] ticks the DELETE box and hides
 * the line; a line that was added here is taken out of the page. */
(() => {
  const total = (rows) =>
    rows.closest("form").querySelector(`[name="${rows.dataset.rows}-TOTAL_FORMS"]`);
  const changed = (rows) => rows.dispatchEvent(new Event("change", { bubbles: true }));
  const add = (rows) => {
    const count = total(rows);
    const blank = rows.querySelector("template[data-row-blank]");
    const holder = document.createElement("template");
    holder.innerHTML = blank.innerHTML.replaceAll("__prefix__", count.value);
    const row = holder.content.querySelector("[data-row]");
    row.dataset.rowAdded = "";
    blank.before(holder.content);
    count.value = Number(count.value) + 1;
    if (window.htmx) window.htmx.process(row);
    row.querySelector("input:not([type=hidden]), select, textarea")?.focus();
    changed(rows);
  };
  const remove = (rows, row) => {
    const box = row.querySelector('[name$="-DELETE"]');
    const next = row.nextElementSibling ?? rows;
    if (box) {
      box.checked = true;
      row.hidden = true;
    } else row.remove();
    next.querySelector("input, button")?.focus();
    changed(rows);
  };
  const show = (root) => {
    for (const button of root.querySelectorAll("[data-row-remove]")) button.hidden = false;
    for (const box of root.querySelectorAll("[data-row-remove] ~ [data-row-delete]"))
      box.hidden = true;
  };
  document.addEventListener("click", (event) => {
    const rows = event.target.closest("[data-rows]");
    if (!rows) return;
    if (event.target.closest("[data-row-add]")) {
      event.preventDefault();
      add(rows);
      show(rows);
    } else if (event.target.closest("[data-row-remove]")) {
      event.preventDefault();
      remove(rows, event.target.closest("[data-row]"));
    }
  });
  document.addEventListener("DOMContentLoaded", () => show(document));
  document.addEventListener("htmx:load", (event) => show(event.detail.elt));
})();
