/* form[data-autosubmit]: a changed choice asks again by itself; typing waits a moment.
 * Its [data-autosubmit-button] is hidden, and stays where there is no script.
 * Typing asks again only in an htmx form, where the field keeps its focus. */
(() => {
  const PAUSE_MS = 300;
  const hideButtons = (root) => {
    for (const button of root.querySelectorAll("form[data-autosubmit] [data-autosubmit-button]"))
      button.hidden = true;
  };
  let waiting = 0;
  const ask = (form) => {
    clearTimeout(waiting);
    form.requestSubmit();
  };
  document.addEventListener("change", (event) => {
    const form = event.target.form;
    if (form?.matches("[data-autosubmit]") && !event.target.matches("[type=search]")) ask(form);
  });
  document.addEventListener("input", (event) => {
    const form = event.target.form;
    if (!form?.matches("[data-autosubmit][hx-get], [data-autosubmit][hx-post]")) return;
    if (!event.target.matches("[type=search], [type=text], textarea")) return;
    clearTimeout(waiting);
    waiting = setTimeout(() => form.requestSubmit(), PAUSE_MS);
  });
  document.addEventListener("DOMContentLoaded", () => hideButtons(document));
  document.addEventListener("htmx:load", (event) => hideButtons(event.detail.elt));
})();
