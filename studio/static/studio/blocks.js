// Draws again as sizes change: asks for the same page with what stands in the form, and
// puts its drawn parts in place. Without this the buttons do the same.
"use strict";

const WAIT_MS = 350;
const form = document.querySelector("form[data-live-sums]");
let waiting = 0;
let asking = null;

function asked() {
  const typed = new FormData(form);
  if (form.method === "post") {
    typed.set("do", "show");
    return fetch(location.pathname + location.search, { method: "POST", body: typed, signal: asking.signal });
  }
  const url = `${location.pathname}?${new URLSearchParams(typed)}`;
  history.replaceState(null, "", url);
  return fetch(url, { signal: asking.signal });
}

function putIn(page) {
  document.querySelector("h1").textContent = page.querySelector("h1").textContent;
  for (const part of document.querySelectorAll("[data-live]")) {
    const next = page.getElementById(part.id);
    if (next !== null && !part.contains(document.activeElement)) {
      part.replaceWith(next);
    }
  }
  // What a choice asks for is opened with it.
  for (const boxes of form.querySelectorAll("details[id]")) {
    boxes.open ||= page.getElementById(boxes.id)?.open ?? false;
  }
}

async function drawAgain() {
  asking?.abort();
  asking = new AbortController();
  try {
    const answer = await asked();
    if (answer.ok && !answer.redirected) {
      putIn(new DOMParser().parseFromString(await answer.text(), "text/html"));
    }
  } catch (error) {
    // Left off for a later change, or out of reach: the buttons still work.
    if (error.name !== "AbortError" && !(error instanceof TypeError)) {
      throw error;
    }
  }
}

form?.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(drawAgain, WAIT_MS);
});
