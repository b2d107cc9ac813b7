/* An htmx request that got no answer, or an answer that cannot be shown, is said in words. Whether
 * an act was carried out whose answer was lost, nobody here can know. */
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
  const UNSURE =
    "Not sure that it arrived. Look before you press again; pressing again is safe, it is written once.";
  const noAnswer = (event) => {
    const isLook = event.detail.requestConfig?.verb === "get";
    say(
      isLook
        ? "The shop's computer did not answer: what you see may be old. Check the network and try again."
        : UNSURE,
    );
  };
  document.addEventListener("htmx:sendError", noAnswer);
  document.addEventListener("htmx:timeout", noAnswer);
  document.addEventListener("htmx:responseError", (event) => {
    const status = event.detail.xhr.status;
    if (status === 403)
      say(
        "This was not accepted: you may have signed out meanwhile. Load the page again and sign in.",
      );
    else if (status === 404) say("This is no longer there. Load the page again to see what is.");
    else if (event.detail.requestConfig?.verb === "get")
      say("Something broke on our side. Load the page again and try once more.");
    else say(`Something broke on our side. ${UNSURE}`);
  });
})();
