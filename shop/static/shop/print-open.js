/* details[data-print-open] stand open on paper, and as they were afterwards. Without a script the page's
 * own link opens them all, and print.css shows what a browser lets it. */
(() => {
  let opened = [];
  addEventListener("beforeprint", () => {
    opened = [...document.querySelectorAll("details[data-print-open]:not([open])")];
    for (const one of opened) one.open = true;
  });
  addEventListener("afterprint", () => {
    for (const one of opened) one.open = false;
    opened = [];
  });
})();
