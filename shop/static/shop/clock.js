/* A running clock counts on: [data-since] holds when it was started (ISO); minutes and seconds are
 * written into it every second. Without this script the page shows the time of its last loading. */
document.addEventListener("DOMContentLoaded", () => {
  const clocks = [...document.querySelectorAll("[data-since]")];
  if (!clocks.length) return;
  const two = (number) => String(number).padStart(2, "0");
  const show = () => {
    for (const clock of clocks) {
      const seconds = Math.max(0, Math.floor((Date.now() - Date.parse(clock.dataset.since)) / 1000));
      const hours = Math.floor(seconds / 3600);
      const rest = `${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
      clock.textContent = hours ? `${hours}:${rest}` : rest;
    }
  };
  show();
  setInterval(show, 1000);
});
