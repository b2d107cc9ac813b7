/* A running clock counts on: [data-since] holds when it was started (ISO); minutes and seconds are
 * written into it every second, also when it came with a part of the page. Without this script the
 * page shows when it was started. */
document.addEventListener("DOMContentLoaded", () => {
  const two = (number) => String(number).padStart(2, "0");
  const show = () => {
    for (const clock of document.querySelectorAll("[data-since]")) {
      const seconds = Math.max(
        0,
        Math.floor((Date.now() - Date.parse(clock.dataset.since)) / 1000),
      );
      const hours = Math.floor(seconds / 3600);
      const rest = `${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
      clock.textContent = hours ? `${hours}:${rest}` : rest;
    }
  };
  show();
  setInterval(show, 1000);
});
