"use strict";
// Choose the whole message with one touch, ready to be copied.
(() => {
  for (const box of document.querySelectorAll("textarea[data-copy]")) {
    box.addEventListener("focus", () => box.select());
  }
})();
