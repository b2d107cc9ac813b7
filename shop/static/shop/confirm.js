/* form[data-confirm="What will happen."] asks in a dialog before it is sent.
 * data-confirm-act names the button; without it the pressed button's own words are used.
 * Works before htmx sees the submit. Without script the form is sent at once, so use it only
 * for what can be undone; parts/confirm.html asks without a script. */
(() => {
  let pending = null;
  const dialog = () => {
    let box = document.querySelector("dialog[data-confirm-box]");
    if (box) return box;
    box = document.createElement("dialog");
    box.dataset.confirmBox = "";
    box.setAttribute("aria-labelledby", "confirm-sentence");
    box.innerHTML =
      '<p id="confirm-sentence"></p><div class="acts"><button type="button" class="button" data-yes></button><button type="button" data-no>Keep it as it is</button></div>';
    box.querySelector("[data-no]").addEventListener("click", () => box.close());
    box.querySelector("[data-yes]").addEventListener("click", () => {
      const { form, button } = pending;
      box.close();
      form.dataset.confirmed = "yes";
      form.requestSubmit(button);
    });
    document.body.append(box);
    return box;
  };
  document.addEventListener(
    "submit",
    (event) => {
      const form = event.target;
      const sentence = event.submitter?.dataset.confirm || form.dataset.confirm;
      if (!sentence) return;
      if (form.dataset.confirmed) {
        delete form.dataset.confirmed;
        return;
      }
      event.preventDefault();
      event.stopImmediatePropagation();
      pending = { form, button: event.submitter };
      const box = dialog();
      box.querySelector("p").textContent = sentence;
      const words = event.submitter?.dataset.confirmAct || form.dataset.confirmAct;
      box.querySelector("[data-yes]").textContent =
        words || event.submitter?.textContent.trim() || "Go on";
      box.showModal();
      box.querySelector("[data-no]").focus();
    },
    true,
  );
})();
