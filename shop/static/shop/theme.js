/* Light, dark, or as the device: [data-theme-next] goes round the three and remembers.
 * Runs before the page is painted (so not deferred): a remembered theme must not flash. */
(() => {
  const words = { auto: "as the device", light: "light", dark: "dark" };
  const order = Object.keys(words);
  const read = () => {
    try {
      return words[localStorage.getItem("theme")] ? localStorage.getItem("theme") : "auto";
    } catch {
      return "auto";
    }
  };
  const show = (theme) => {
    if (theme === "auto") delete document.documentElement.dataset.theme;
    else document.documentElement.dataset.theme = theme;
    for (const word of document.querySelectorAll("[data-theme-word]"))
      word.textContent = words[theme];
  };
  show(read());
  document.addEventListener("DOMContentLoaded", () => {
    for (const button of document.querySelectorAll("[data-theme-next]")) button.hidden = false;
    show(read());
  });
  document.addEventListener("click", (event) => {
    if (!event.target.closest("[data-theme-next]")) return;
    const next = order[(order.indexOf(read()) + 1) % order.length];
    try {
      localStorage.setItem("theme", next);
    } catch {
      /* not remembered, still shown */
    }
    show(next);
  });
})();
