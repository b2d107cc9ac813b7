/* When a part of the page is replaced and the focus stood in it, the focus stays in that part:
   on the element of the same id, which htmx finds by itself, else on the part as a whole. */
(() => {
  let stood = false;
  document.addEventListener("htmx:beforeSwap", (event) => {
    const part = event.detail.target;
    stood = part !== document.body && part.contains(document.activeElement);
  });
  document.addEventListener("htmx:afterSettle", (event) => {
    const lost = !document.activeElement || document.activeElement === document.body;
    const part = document.getElementById(event.detail.target.id) || event.detail.elt;
    if (!stood || !lost || !part) return;
    stood = false;
    if (!part.hasAttribute("tabindex")) part.setAttribute("tabindex", "-1");
    part.focus({ preventScroll: true });
  });
})();
