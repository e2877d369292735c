"use strict";
(() => {
  const form = document.getElementById("form"), field = document.getElementById("token"), answer = document.getElementById("answer");

  async function offer(token) {
    answer.textContent = "Asking…";
    try {
      const reply = await fetch("sign-in", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(token) });
      if (reply.status === 204) { location.replace("/"); return; }
      answer.textContent = "That is not the token.";
    } catch {
      answer.textContent = "The watch cannot be reached.";
    }
    field.focus();
    field.select();
  }

  form.addEventListener("submit", event => {
    event.preventDefault();
    offer(field.value);
  });

  // A link may carry the token behind its #, which no browser sends anywhere.
  const carried = decodeURIComponent(location.hash.slice(1));
  if (carried) {
    history.replaceState(null, "", "/");
    offer(carried);
  } else {
    // Signed in already, but led here by a link on another page: browsers leave the ticket out then.
    fetch("sign-in").then(reply => reply.json()).then(inside => { if (inside === true) location.replace("/"); }, () => {});
    field.focus();
  }
})();
