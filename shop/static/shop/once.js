/* [name="once"] makes two presses of the same form one act. A form that was answered and still stands
 * there gets a new one, so that the next press is an act of its own; one whose answer was lost keeps it. */
document.addEventListener("htmx:afterRequest", (event) => {
  if (!event.detail.successful || event.detail.requestConfig?.verb === "get") return;
  const field = event.detail.elt.closest("form")?.elements.once;
  if (!field || field.value !== event.detail.requestConfig.parameters.once) return;
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  field.value = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
});
