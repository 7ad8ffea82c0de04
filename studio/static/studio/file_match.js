"use strict";
// Read the first rows anew whenever a column is chosen; without this the button does it.
(() => {
  const form = document.querySelector("form[data-match]");
  const preview = document.getElementById("preview");
  if (!form || !preview) return;
  let latest = 0;
  form.addEventListener("change", async () => {
    const turn = ++latest;
    const asked = new URLSearchParams(new FormData(form));
    asked.delete("csrfmiddlewaretoken");
    asked.set("part", "preview");
    try {
      const answer = await fetch(`${window.location.pathname}?${asked}`);
      const words = await answer.text();
      if (answer.ok && turn === latest) preview.innerHTML = words;
    } catch {
      // The button below still shows how it reads.
    }
  });
})();
