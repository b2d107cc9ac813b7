/* An htmx request that got no answer, or an answer that cannot be shown, is said in words. */
(() => {
  const say = (text) => {
    const place = document.getElementById("messages");
    if (!place) return;
    const line = document.createElement("p");
    line.className = "message error";
    line.textContent = text;
    place.replaceChildren(line);
    place.scrollIntoView({ block: "nearest" });
  };
  document.addEventListener("htmx:sendError", () => {
    say(
      "The shop's computer did not answer, so nothing was saved. Check the network and try again.",
    );
  });
  document.addEventListener("htmx:responseError", (event) => {
    const status = event.detail.xhr.status;
    if (status === 403)
      say(
        "This was not accepted: you may have signed out meanwhile. Load the page again and sign in.",
      );
    else if (status === 404) say("This is no longer there. Load the page again to see what is.");
    else
      say(
        "Something broke on our side and nothing was saved. Load the page again and try once more.",
      );
  });
})();
