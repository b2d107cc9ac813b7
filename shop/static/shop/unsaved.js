/* form[data-guard]: leaving the page with something typed and not sent asks first.
 * [data-touched] on it: what the server gave back is not kept yet. */
(() => {
  const touched = new Set();
  const guarded = (event) =>
    event.target.form?.matches("[data-guard]") ? event.target.form : null;
  document.addEventListener("input", (event) => {
    const form = guarded(event);
    if (form) touched.add(form);
  });
  document.addEventListener("submit", (event) => {
    touched.delete(event.target);
    event.target.removeAttribute("data-touched");
  });
  document.addEventListener("htmx:afterRequest", (event) => {
    if (event.detail.successful) touched.delete(event.detail.elt);
  });
  window.addEventListener("beforeunload", (event) => {
    for (const form of touched) if (!form.isConnected) touched.delete(form);
    if (touched.size || document.querySelector("form[data-guard][data-touched]"))
      event.preventDefault();
  });
})();
