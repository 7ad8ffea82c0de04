// Says "Sending…" on the pressed button. A second press is still sent: the studio
// takes each request number once, so nothing is done twice.
"use strict";

document.addEventListener("submit", (event) => {
  const button = event.submitter;
  // A form that answers with a file leaves its page, and so its button, as it is.
  const keepsPage = event.target.dataset.file !== undefined;
  if (button === null || keepsPage || button.dataset.words !== undefined) {
    return;
  }
  button.dataset.words = button.textContent;
  button.textContent = "Sending…";
});

// A page brought back by the Back button shows its own words again.
window.addEventListener("pageshow", () => {
  for (const button of document.querySelectorAll("button[data-words]")) {
    button.textContent = button.dataset.words;
    delete button.dataset.words;
  }
});
